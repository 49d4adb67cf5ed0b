//! Where in a YAML file somebody writes: under which keys, and whether a key or a value
//! is due. The text need not be whole; what stands behind the place isn't looked at.

use glost_chemistry::diagnostic::{Mark, Source};

/// An item of a list, as a step of a path.
pub(super) const ITEM: &str = "-";

/// What is due at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Due {
    Key,
    Value,
    /// A comment, or text that runs over several lines.
    Nothing,
}

/// A place in a YAML file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct YamlPlace {
    /// The keys that lead there, [`ITEM`] for items of lists; of a value its own key too.
    pub(super) path: Vec<String>,
    pub(super) due: Due,
    /// Where the word at the place begins.
    pub(super) from: Mark,
    /// The whole word at the place, without quotes.
    pub(super) word: String,
    /// Whether it stands in braces, where a comma or a brace ends it.
    pub(super) flow: bool,
}

/// One level of braces.
struct Level {
    map: bool,
    key: Option<String>,
}

/// The state of a reader that goes forward to the place.
#[derive(Default)]
struct Reader {
    /// Keys and items of lists by their indents.
    block: Vec<(usize, String)>,
    flow: Vec<Level>,
    quote: Option<char>,
    word: String,
    from: usize,
    due: Option<Due>,
}

impl YamlPlace {
    pub(super) fn at(source: &Source, mark: Mark) -> YamlPlace {
        let mut reader = Reader::default();
        for (index, line) in source.text.lines().take(mark.line).enumerate() {
            let signs: Vec<char> = line.chars().collect();
            let last = index + 1 == mark.line;
            let end = if last {
                (mark.column - 1).min(signs.len())
            } else {
                signs.len()
            };
            reader.line(&signs, end, last.then_some(mark.column - 1));
        }
        if source.text.lines().count() < mark.line {
            reader.line(&[], 0, Some(mark.column - 1));
        }
        reader.place(source, mark)
    }
}

impl Reader {
    /// Reads a line up to `end`; `stop` is the column of the place, on its line.
    fn line(&mut self, signs: &[char], end: usize, stop: Option<usize>) {
        let mut at = 0;
        if self.flow.is_empty() && self.quote.is_none() {
            let indent = signs.iter().take_while(|sign| **sign == ' ').count();
            let blank = signs.get(indent).is_none_or(|sign| *sign == '#');
            if blank && stop.is_none() {
                return;
            }
            at = self.begin(signs, indent.min(stop.unwrap_or(indent)), end);
        } else {
            self.start_word(at);
        }
        while at < end {
            let next = signs.get(at + 1).copied();
            self.sign(signs[at], next, at, signs);
            at += 1;
        }
        // A value ends with its line, but for those in braces or quotes.
        if stop.is_none() && self.flow.is_empty() && self.quote.is_none() {
            self.word.clear();
        }
    }

    /// The dashes and indents that a line of the block begins with.
    fn begin(&mut self, signs: &[char], mut indent: usize, end: usize) -> usize {
        self.word.clear();
        self.due = Some(Due::Key);
        loop {
            let dash = signs.get(indent) == Some(&'-') && signs.get(indent + 1).is_none_or(|sign| *sign == ' ');
            if !dash || indent >= end {
                break;
            }
            self.leave(|(depth, step)| *depth > indent || (*depth == indent && step == ITEM));
            self.block.push((indent, ITEM.to_owned()));
            indent += 1;
            while signs.get(indent) == Some(&' ') {
                indent += 1;
            }
        }
        self.leave(|(depth, _)| *depth >= indent);
        self.start_word(indent);
        indent.min(end)
    }

    fn leave(&mut self, gone: impl Fn(&(usize, String)) -> bool) {
        while self.block.last().is_some_and(&gone) {
            self.block.pop();
        }
    }

    fn start_word(&mut self, at: usize) {
        self.word.clear();
        self.from = at;
    }

    fn sign(&mut self, sign: char, next: Option<char>, at: usize, signs: &[char]) {
        if let Some(quote) = self.quote {
            if sign == quote {
                self.quote = None;
            } else {
                self.word.push(sign);
            }
            return;
        }
        let fresh = self.word.is_empty();
        let after_blank = at.checked_sub(1).is_none_or(|before| signs[before] == ' ');
        match sign {
            '#' if after_blank => self.due = Some(Due::Nothing),
            _ if self.due == Some(Due::Nothing) => {}
            '"' | '\'' if fresh => {
                self.quote = Some(sign);
                self.from = at + 1;
            }
            ':' if next.is_none_or(|next| next == ' ') && self.due == Some(Due::Key) => self.key_is_read(at),
            '{' | '[' if fresh && (self.due == Some(Due::Value) || !self.flow.is_empty() || at == self.from) => {
                self.flow.push(Level {
                    map: sign == '{',
                    key: None,
                });
                self.due = Some(if sign == '{' { Due::Key } else { Due::Value });
                self.start_word(at + 1);
            }
            '}' | ']' if !self.flow.is_empty() => {
                self.flow.pop();
                self.due = Some(Due::Value);
                self.start_word(at + 1);
            }
            ',' if !self.flow.is_empty() => {
                let map = self.flow.last_mut().is_some_and(|level| {
                    level.key = None;
                    level.map
                });
                self.due = Some(if map { Due::Key } else { Due::Value });
                self.start_word(at + 1);
            }
            '|' | '>' if fresh && self.due == Some(Due::Value) => self.due = Some(Due::Nothing),
            ' ' if fresh => self.from = at + 1,
            sign => self.word.push(sign),
        }
    }

    fn key_is_read(&mut self, at: usize) {
        let key = self.word.trim().to_owned();
        match self.flow.last_mut() {
            Some(level) => level.key = Some(key),
            None => {
                let indent = self.from;
                self.block.push((indent, key));
            }
        }
        self.due = Some(Due::Value);
        self.start_word(at + 1);
    }

    fn place(self, source: &Source, mark: Mark) -> YamlPlace {
        let mut path: Vec<String> = self.block.into_iter().map(|step| step.1).collect();
        for level in &self.flow {
            match (&level.key, level.map) {
                (Some(key), true) => path.push(key.clone()),
                (None, true) => {}
                (_, false) => path.push(ITEM.to_owned()),
            }
        }
        let line: Vec<char> = source.line(mark.line).chars().collect();
        let flow = !self.flow.is_empty();
        let due = self.due.unwrap_or(Due::Key);
        let ends = |at: usize| {
            let sign = line[at];
            let colon = sign == ':' && due == Due::Key && line.get(at + 1).is_none_or(|next| *next == ' ');
            let comment = sign == '#' && at > 0 && line[at - 1] == ' ';
            colon || comment || sign == '"' || (flow && matches!(sign, ',' | '}' | ']'))
        };
        let end = (self.from..line.len()).find(|at| ends(*at)).unwrap_or(line.len());
        let word: String = line.get(self.from..end).unwrap_or(&[]).iter().collect();
        YamlPlace {
            path,
            due,
            from: Mark {
                line: mark.line,
                column: self.from + 1,
            },
            word: word.trim().trim_matches(['"', '\'']).to_owned(),
            flow,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The place of the sign `^`, which is taken out.
    fn at(text: &str) -> (String, Due, String) {
        let before = text.split('^').next().unwrap();
        let line = before.matches('\n').count() + 1;
        let column = before.rsplit('\n').next().unwrap().chars().count() + 1;
        let source = Source::from_text("x", &text.replace('^', ""));
        let place = YamlPlace::at(&source, Mark { line, column });
        (place.path.join(" "), place.due, place.word)
    }

    fn key(path: &str, word: &str) -> (String, Due, String) {
        (path.to_owned(), Due::Key, word.to_owned())
    }

    fn value(path: &str, word: &str) -> (String, Due, String) {
        (path.to_owned(), Due::Value, word.to_owned())
    }

    #[test]
    fn keys_lead_to_a_place() {
        assert_eq!(at("^"), key("", ""));
        assert_eq!(at("glaze: x\nco^ne: 6\n"), key("", "cone"));
        assert_eq!(at("glaze: x\ncone: ^6\n"), value("cone", "6"));
        assert_eq!(at("parts: { silica: 3, feld^"), key("parts", "feld"));
        assert_eq!(at("parts: { silica: 3, feldspar ^A: 4 }"), key("parts", "feldspar A"));
        assert_eq!(at("parts: {\n  silica: 3,\n  wh^\n}\n"), key("parts", "wh"));
        assert_eq!(at("parts:\n  silica: 3\n  wh^"), key("parts", "wh"));
        assert_eq!(at("parts:\n  silica: 3\n^"), key("", ""));
        assert_eq!(at("parts:\n  silica: 3\n  ^"), key("parts", ""));
        assert_eq!(at("clay: \"buff ^stone\" # that"), value("clay", "buff stone"));
        assert_eq!(at("recommended: [buff stoneware, wh^]"), value("recommended -", "wh"));
        assert_eq!(at("notes: x # ^").1, Due::Nothing);
    }

    #[test]
    fn items_of_lists_are_steps() {
        let text = "materials:\n  - name: sand\n    analysis: { Si^O2: 99 }\n";
        assert_eq!(at(text), key("materials - analysis", "SiO2"));
        assert_eq!(at("materials:\n- name: sand\n  ba^"), key("materials -", "ba"));
        assert_eq!(
            at("materials:\n- name: sand\n- na^me: clay"),
            key("materials -", "name")
        );
        assert_eq!(at("accepted: [{ finding: che^ }]"), value("accepted - finding", "che"));
        assert_eq!(
            at("scripts:\n  check/a: { level: n^"),
            value("scripts check/a level", "n")
        );
        assert_eq!(at("recommended:\n  - bu^"), key("recommended -", "bu"));
    }
}
