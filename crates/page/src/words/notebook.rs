//! What is uncertain on a notebook page, in words.

use glost_chemistry::quantity::trimmed;
use glost_core::intake::notebook::{Doubt, FileRemark, ReadingLine, UnitGuess};

/// A doubt as a sentence.
pub fn doubt(doubt: &Doubt) -> String {
    of_amount(doubt)
        .or_else(|| of_role(doubt))
        .or_else(|| of_name(doubt))
        .unwrap_or_else(|| of_page(doubt))
}

/// What is said in the file of a recipe that was read from a page.
pub(crate) fn in_glaze_file(remark: &FileRemark) -> String {
    match remark {
        FileRemark::FromPage => "Read from a notebook page. Parts are per cent of the base.".to_owned(),
        FileRemark::OfLine {
            line,
            text,
            doubt: of_line,
        } => format!("line {line}, `{text}`: {}", doubt(of_line)),
        FileRemark::OfPage(of_page) => format!("page: {}", doubt(of_page)),
        FileRemark::NotInYet(open) => format!("Not in it yet: {}.", open.join("; ")),
    }
}

/// The question about a line that can't be weighed or named yet.
pub fn open_line(line: &ReadingLine) -> String {
    let doubts: Vec<String> = line.doubts.iter().map(doubt).collect();
    let mut question = format!("line {}: `{}` is open: {}\n", line.line, line.text, doubts.join("; "));
    if !line.suggestions.is_empty() {
        question.push_str(&format!("  meant may be: {}\n", line.suggestions.join(", ")));
    }
    question.push_str("  write it again (for example: red iron oxide 12 g), or press Enter to leave it open: ");
    question
}

/// About an amount and its unit.
fn of_amount(doubt: &Doubt) -> Option<String> {
    Some(match doubt {
        Doubt::About(word) => format!("the page says `{word}`: weigh it and write it down"),
        Doubt::QuestionMark => "the page has a question mark here".to_owned(),
        Doubt::OuncesAfterPounds(written) => format!("`{written}` after the pounds read as ounces"),
        Doubt::HeapedMeasure(word) => format!("a {word} spoon or cup is no measure"),
        Doubt::Times { count, of } => format!("read as {count} times {of}"),
        Doubt::Unit(guess) => unit(*guess).to_owned(),
        Doubt::OddFraction { written, above, below } => {
            format!("`{written}` read as a fraction; if it means {above} or {below}, choose one")
        }
        Doubt::ThousandsSign(written) => {
            format!("`{written}` read with a thousands sign; with a decimal one it would be a thousandth of that")
        }
        Doubt::CommaNotThousands(written) => {
            format!("`{written}` read with a decimal comma; as thousands it would be a thousand times that")
        }
        Doubt::DecimalComma(written) => format!("`{written}` read with a decimal comma"),
        Doubt::UnitOfColumn => "its unit is from the head of the column".to_owned(),
        Doubt::NoAmount => "no amount stands beside it".to_owned(),
        Doubt::NoAmountRead => "no amount could be read from this line".to_owned(),
        Doubt::WeightAmongParts(written) => {
            format!("`{written}` is a weight and the base is in parts: of how much base?")
        }
        Doubt::UnitFromAbove(written) => format!("`{written}` has no unit: read in the unit of the lines above"),
        Doubt::ReadAsPercent { written, percent } => format!(
            "`{written}` has no unit: read as {} per cent of the base, please confirm",
            short(*percent)
        ),
        Doubt::NoUnitOfWeight(written) => format!("`{written}` has no unit of weight, and the lines about it have"),
        Doubt::NoAmountToWeigh(written) => format!("`{written}` is no amount to weigh"),
        Doubt::Dose(written) => {
            format!("`{written}` is a dose per something: work out how much this base takes and write that")
        }
        Doubt::Range(written) => format!("`{written}` is a range: choose one amount"),
        Doubt::NoWeight(written) => format!("`{written}` is no weight: weigh it and write the grams"),
        Doubt::SecondAmount(written) => format!("a second amount, `{written}`, is not used"),
        _ => return None,
    })
}

/// About what a line is to the recipe.
fn of_role(doubt: &Doubt) -> Option<String> {
    Some(match doubt {
        Doubt::PercentAmongWeights => {
            "a percentage among weights: read as an addition, per cent of the base".to_owned()
        }
        Doubt::AmongAdditions => "stands among the additions: read as one".to_owned(),
        Doubt::Alternative => "an alternative to the line before (`or`): it doesn't count until you choose".to_owned(),
        Doubt::Volume { .. } => volume(doubt),
        Doubt::VolumeToCome => String::new(),
        Doubt::Unnamed {
            share_percent,
            others_percent,
        } => format!(
            "it doesn't count yet; in the base it would be {} % and the others {} % of what is shown",
            short(*share_percent),
            short(*others_percent)
        ),
        Doubt::Twin {
            material,
            line,
            added_up,
        } => {
            let how = if *added_up { "; the two are added up" } else { "" };
            format!("{material} stands on line {line} too{how}")
        }
        Doubt::BelowTotal => "stands below the total: read as an addition".to_owned(),
        Doubt::PlusAsAnd => "the base comes to 100 only with this line: `+` read as `and`".to_owned(),
        Doubt::InsideTheBase => "counted inside the base, which comes to 100 only with it".to_owned(),
        Doubt::Unmarked {
            on_base_percent,
            inside_percent,
        } => format!(
            "no sign before it: read as an addition, {} % on the base; inside the base it would be {} %",
            short(*on_base_percent),
            short(*inside_percent)
        ),
        Doubt::InPartsOfBase {
            base,
            percent,
            as_percent,
        } => format!(
            "counted in the same parts as the base of {}: {} %; as per cent it would be {} %",
            short(*base),
            short(*percent),
            short(*as_percent)
        ),
        Doubt::NoBase => "there is no base to count it on".to_owned(),
        Doubt::MuchForAddition(percent) => {
            format!("{} % is much for an addition: part of the base?", short(*percent))
        }
        _ => return None,
    })
}

/// About a name.
fn of_name(doubt: &Doubt) -> Option<String> {
    Some(match doubt {
        Doubt::NoName => "no name stands beside it".to_owned(),
        Doubt::NotUsed(words) => format!("not used: `{words}`"),
        Doubt::LeftOutOfName(words) => format!("`{words}` is not used"),
        Doubt::ColourBeforeName(label) => format!("`{label}` is not used: is this one of several versions?"),
        Doubt::UnknownName(written) => format!("no material is called `{written}`"),
        Doubt::Nickname(told) => told.clone(),
        Doubt::WithoutLetter {
            written,
            material,
            letter,
        } => format!("`{written}` read as {material}: no material of yours has the letter {letter}"),
        Doubt::TakenAsOwn { written, material } => {
            format!("`{written}` is taken as your own {material}")
        }
        Doubt::SeveralOwn(written) => {
            format!("`{written}` may be several of your own materials")
        }
        Doubt::SlipOfThePen { written, material } => {
            format!("`{written}` read as {material}: a slip of the pen?")
        }
        Doubt::EqualParts(what) => format!("`equal {what}` read as one part by weight of each"),
        _ => return None,
    })
}

/// About the page.
fn of_page(doubt: &Doubt) -> String {
    match doubt {
        Doubt::OfSecondRecipe(line) => {
            format!("belongs to a second recipe, from line {line} on: read that one by itself")
        }
        Doubt::CrossedOut(line) => format!("line {line} is crossed out: it isn't counted"),
        Doubt::TakenForTitle { line, text } => {
            format!("line {line}: `{text}` was read as the glaze's name, not as a material")
        }
        Doubt::PlusAsBullet => "`+` stands before the first line too: read as a bullet, not as `on top`".to_owned(),
        Doubt::SecondRecipe(line) => format!(
            "a second recipe seems to start by line {line}: only the first is read; give each a page of its own"
        ),
        Doubt::SeveralVersions(versions) => format!(
            "{}: several versions? the additions of all of them are counted together",
            versions.join(", ")
        ),
        Doubt::BaseNotHundred(base) => format!(
            "the base adds up to {}, not 100: read as shares of its own total",
            short(*base)
        ),
        Doubt::TotalDisagrees {
            line,
            said,
            lines,
            grams,
        } => {
            let unit = if *grams { " g" } else { "" };
            format!(
                "line {line}: the page says {}{unit} in all, its lines add up to {}{unit}: is one missing or misread?",
                short(*said),
                short(*lines)
            )
        }
        Doubt::OpenLines(1) => "1 line is open and doesn't count yet".to_owned(),
        Doubt::OpenLines(count) => format!("{count} lines are open and don't count yet"),
        _ => String::new(),
    }
}

/// A volume of powder is no weight: what it might weigh, and what to do.
fn volume(doubt: &Doubt) -> String {
    let Doubt::Volume {
        written,
        millilitres,
        low_grams,
        high_grams,
        of_base_percent,
    } = doubt
    else {
        return String::new();
    };
    let share = of_base_percent.map_or_else(String::new, |(low, high)| {
        format!(", {low:.1}-{high:.1} % of this base")
    });
    format!(
        "`{written}` is a volume, {} ml: a loose powder weighs very roughly {}-{} g{share} (common practice, no source). Weigh one and write the grams",
        short(*millilitres),
        short(*low_grams),
        short(*high_grams)
    )
}

fn unit(guess: UnitGuess) -> &'static str {
    match guess {
        UnitGuess::Tablespoon => "`T` read as a tablespoon",
        UnitGuess::Teaspoon => "`t` read as a teaspoon",
        UnitGuess::Grams => "`gr` read as grams; an old grain would be 0.065 g",
        UnitGuess::Hundredweight => "`cwt` read as 112 lb; the American one is 100 lb",
        UnitGuess::Pounds => "`#` read as pounds",
        UnitGuess::Parts => "`pts` read as parts, not as pints",
    }
}

/// A number without needless zeros, at most four figures after the point's start.
fn short(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 100.0 => 1,
        size if size >= 1.0 => 2,
        _ => 3,
    };
    trimmed(value, decimals)
}
