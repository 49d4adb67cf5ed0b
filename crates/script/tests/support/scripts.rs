//! Made-up checks, the same for the same number: of what compiled checks know, put together
//! by chance, so that many of them go wrong as they run.

use super::glazes::Chance;

const HEAD: &str = "const ABOUT = #{ api: 1, kind: \"check\", title: \"Made up\", source: \"made up\",
    options: #{ most: #{ value: 0.3, min: 0, max: 9, help: \"m\" }, word: #{ value: \"CaO\", help: \"w\" }, really: #{ value: true, help: \"r\" } } };
const LINE = 0.25;
const METALS = [\"CoO\", \"CuO\", \"ZnO\", \"Fe2O3\"];
const RANGES = #{ SiO2: [2.5, 4.5], Al2O3: [(), 0.4], ZnO: [0.1, 0.3, \"if used\"], \"SiO2:Al2O3\": [5, 12] };
";

/// A check with helpers, of what is known and fits as a rule.
pub fn made_up(number: usize) -> String {
    let mut chance = Chance::new(number as u64 + 77);
    let mut text = HEAD.to_owned();
    let mut body = Body {
        chance: &mut chance,
        names: 0,
        depth: 0,
    };
    text.push_str("fn check(glaze, option) {\n    let u = glaze.unity;\n    let n0 = 1;\n    let t0 = \"\";\n    let f0 = #{ subject: \"first\", value: 1 };\n");
    body.names = 1;
    text.push_str(&body.statements(6));
    text.push_str("}\n");
    text.push_str("fn helper(glaze, x) {\n    if x > 1 { return x; }\n    if x < 0 { glaze.caution(\"below\", `${x} is below`); }\n    x * 2\n}\n");
    text.push_str("fn name_of(oxide) { switch oxide { \"CoO\" => \"cobalt\", \"CuO\" => \"copper\", _ => oxide } }\n");
    text
}

struct Body<'c> {
    chance: &'c mut Chance,
    names: usize,
    depth: usize,
}

impl Body<'_> {
    fn statements(&mut self, most: usize) -> String {
        (0..1 + self.chance.below(most)).map(|_| self.statement()).collect()
    }

    fn block(&mut self) -> String {
        self.depth += 1;
        let names = self.names;
        let block = if self.depth > 3 {
            self.saying()
        } else {
            self.statements(3)
        };
        self.names = names;
        self.depth -= 1;
        format!("{{ {block} }}")
    }

    fn statement(&mut self) -> String {
        match self.chance.below(13) {
            0 => {
                let number = self.number();
                self.names += 1;
                format!(
                    "let n{0} = {number}; let t{0} = {1}; let f{0} = #{{ subject: \"x\" }};\n",
                    self.names - 1,
                    "\"a\""
                )
            }
            1 => format!(
                "{} {} {};\n",
                self.variable('n'),
                self.chance.one(&["=", "+=", "-=", "*=", "/="]),
                self.number()
            ),
            2 => format!(
                "{} {} {};\n",
                self.variable('t'),
                self.chance.one(&["=", "+="]),
                self.text()
            ),
            3 => {
                let (finding, text) = (self.variable('f'), self.text());
                format!("{finding}.message = {text}; glaze.{}({finding});\n", self.level())
            }
            4 => format!("{}.message += {};\n", self.variable('f'), self.text()),
            5 | 6 => {
                let (truth, then) = (self.truth(), self.block());
                let other = if self.chance.is(50) {
                    format!(" else {}", self.block())
                } else {
                    String::new()
                };
                format!("if {truth} {then}{other}\n")
            }
            7 => {
                let list = self.chance.one(&[
                    "METALS",
                    "u.above(METALS, option.most)",
                    "glaze.unknown",
                    "[\"a\", \"b\"]",
                ]);
                let more = self
                    .chance
                    .one(&["", "if x == \"CoO\" { continue; }", "if x == \"b\" { break; }"]);
                format!("for x in {list} {{ {more} glaze.nothing(x, `${{x}} ${{name_of(x)}}`); }}\n")
            }
            8 => {
                let lines = self.chance.one(&["batch", "parts", "additions"]);
                let block = self.block();
                format!(
                    "for (line, place) in glaze.{lines} {{ if line.percent > 10 {{ n0 += place; {} }} {block} }}\n",
                    self.saying()
                )
            }
            9 => "for miss in within(u, RANGES) { miss.message = `${miss.subject} is off`; glaze.caution(miss); }\n"
                .to_owned(),
            10 if self.chance.is(30) => "return;\n".to_owned(),
            _ => self.saying(),
        }
    }

    fn level(&mut self) -> &'static str {
        self.chance.one(&["caution", "fail", "nothing", "not_checked"])
    }

    fn saying(&mut self) -> String {
        let (level, text, number) = (self.level(), self.text(), self.number());
        match self.chance.below(4) {
            0 => format!("glaze.{level}(\"s\", {text});\n"),
            1 => format!("glaze.{level}(\"s\", {text}, {number});\n"),
            2 => format!(
                "glaze.{level}(#{{ subject: {text}, message: {}, high: {number} }});\n",
                self.text()
            ),
            _ => format!("glaze.{level}(#{{ subject: \"s\", message: {text}, value: {number}, low: () }});\n"),
        }
    }

    fn variable(&mut self, kind: char) -> String {
        format!("{kind}{}", self.chance.below(self.names))
    }

    fn number(&mut self) -> String {
        self.depth += 1;
        let deep = self.depth > 5;
        let number = match self.chance.below(if deep { 8 } else { 17 }) {
            0 => self
                .chance
                .one(&["0", "1", "-3", "2.5", "0.1", "1e3", "9223372036854775807"])
                .to_owned(),
            1 => self.variable('n'),
            2 => format!(
                "u.{}",
                self.chance
                    .one(&["SiO2", "Al2O3", "R2O", "KNaO", "total", "CuO", "silica_to_alumina"])
            ),
            3 => format!(
                "glaze.{}",
                self.chance.one(&[
                    "raw_clay",
                    "loss_on_ignition",
                    "soluble",
                    "peak",
                    "silica_to_alumina",
                    "expansion"
                ])
            ),
            4 => "option.most".to_owned(),
            5 => "LINE".to_owned(),
            6 => format!("u[{}]", self.chance.one(&["\"CaO\"", "option.word", "t0"])),
            7 => format!("glaze.{}.len", self.chance.one(&["unknown", "name"])),
            8..=11 => {
                let (left, sign, right) = (
                    self.number(),
                    self.chance.one(&["+", "-", "*", "/", "%"]),
                    self.number(),
                );
                format!("({left} {sign} {right})")
            }
            12 => format!("-{}", self.number()),
            13 => format!(
                "{}({}, {})",
                self.chance
                    .one(&["min", "max", "helper2", "round"])
                    .replace("helper2", "max"),
                self.number(),
                self.number()
            ),
            14 => format!("helper(glaze, {})", self.number()),
            15 => format!(
                "{}({})",
                self.chance.one(&["round", "abs", "sqrt", "floor", "ln"]),
                self.number()
            ),
            _ => format!(
                "if {} {{ {} }} else {{ {} }}",
                self.truth(),
                self.number(),
                self.number()
            ),
        };
        self.depth -= 1;
        number
    }

    fn text(&mut self) -> String {
        self.depth += 1;
        let text = match self.chance.below(if self.depth > 5 { 3 } else { 9 }) {
            0 => "\"plain, and so on\"".to_owned(),
            1 => self.variable('t'),
            2 => self
                .chance
                .one(&[
                    "glaze.name",
                    "glaze.use",
                    "glaze.cone",
                    "option.word",
                    "name_of(\"CuO\")",
                ])
                .to_owned(),
            3 => format!("`${{{}}} of ${{fixed({}, 2)}}`", self.number(), self.number()),
            4 => format!("`it is ${{{}}}: ${{{}}}`", self.text(), self.truth()),
            5 => format!("`made ` + {}", self.text()),
            6 => format!("({} + {})", self.text(), self.number()),
            7 => format!("fixed({}, {})", self.number(), self.chance.one(&["0", "1", "4", "13"])),
            _ => format!(
                "{}.{}",
                self.chance.one(&["glaze.name", "t0"]),
                self.chance.one(&["to_upper()", "trim()", "replace(\"a\", \"b\")"])
            ),
        };
        self.depth -= 1;
        text
    }

    fn truth(&mut self) -> String {
        self.depth += 1;
        let truth = match self.chance.below(if self.depth > 5 { 3 } else { 10 }) {
            0 => "option.really".to_owned(),
            1 => "glaze.known".to_owned(),
            2 => format!("glaze.{} == \"tableware\"", self.chance.one(&["use", "name", "peak"])),
            3..=5 => {
                let (left, sign) = (self.number(), self.chance.one(&["<", "<=", ">", ">=", "==", "!="]));
                format!("{left} {sign} {}", self.number())
            }
            6 => format!("({} {} {})", self.truth(), self.chance.one(&["&&", "||"]), self.truth()),
            7 => format!("!({})", self.truth()),
            8 => format!(
                "{} != ()",
                self.chance.one(&["glaze.peak", "u.silica_to_alumina", "glaze.cone"])
            ),
            _ => format!("METALS.contains({})", self.text()),
        };
        self.depth -= 1;
        truth
    }
}
