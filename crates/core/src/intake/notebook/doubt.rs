//! What is uncertain about a line of a page, or about the page, as data.

use serde::Serialize;

/// Something that whoever wrote the page should settle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Doubt {
    /// The page says *about* in this word.
    About(String),
    /// The page has a question mark there.
    QuestionMark,
    /// A bare number after pounds was read as ounces.
    OuncesAfterPounds(String),
    /// A heaped or rounded spoon or cup.
    HeapedMeasure(String),
    /// `2 x 500`.
    Times {
        /// How many.
        count: f64,
        /// Of what, as written.
        of: String,
    },
    /// A unit that could be another.
    Unit(UnitGuess),
    /// `5/6` may be two numbers.
    OddFraction {
        /// As written.
        written: String,
        /// The number above.
        above: String,
        /// The number below.
        below: String,
    },
    /// `1,000` read with a thousands sign.
    ThousandsSign(String),
    /// `1,000` read with a decimal comma.
    CommaNotThousands(String),
    /// A decimal comma.
    DecimalComma(String),
    /// The unit comes from the head of the column.
    UnitOfColumn,
    /// The line belongs to a second recipe that starts here.
    OfSecondRecipe(usize),
    /// No amount beside it.
    NoAmount,
    /// No amount could be read from the line.
    NoAmountRead,
    /// No name beside it.
    NoName,
    /// A weight where the base is in parts.
    WeightAmongParts(String),
    /// The unit of the lines above was taken.
    UnitFromAbove(String),
    /// Without a unit, read as per cent of the base.
    ReadAsPercent {
        /// As written.
        written: String,
        /// Per cent of the base.
        percent: f64,
    },
    /// A percentage among weights, read as an addition.
    PercentAmongWeights,
    /// No unit of weight where the lines about it have one.
    NoUnitOfWeight(String),
    /// It stands among the additions.
    AmongAdditions,
    /// `or`: an alternative to the line before.
    Alternative,
    /// Nothing that can be weighed.
    NoAmountToWeigh(String),
    /// So much per something.
    Dose(String),
    /// From this to that.
    Range(String),
    /// No weight and no known volume.
    NoWeight(String),
    /// A volume of powder, which is no weight.
    Volume {
        /// As written.
        written: String,
        /// The least volume.
        millilitres: f64,
        /// The least a loose powder of it weighs.
        low_grams: f64,
        /// The most.
        high_grams: f64,
        /// The same as shares of the base, per cent.
        of_base_percent: Option<(f64, f64)>,
    },
    /// A volume whose words follow once the base is known.
    VolumeToCome,
    /// Unnamed, so it doesn't count: what it would be in the base.
    Unnamed {
        /// Its share of the base.
        share_percent: f64,
        /// What the others' shares would be of those shown.
        others_percent: f64,
    },
    /// The same material stands on an earlier line.
    Twin {
        /// The material.
        material: String,
        /// The earlier line.
        line: usize,
        /// Whether the two are added up.
        added_up: bool,
    },
    /// Below the total, so an addition.
    BelowTotal,
    /// `+` read as `and`.
    PlusAsAnd,
    /// Inside the base, which is 100 only with it.
    InsideTheBase,
    /// Without a sign, read as an addition.
    Unmarked {
        /// Per cent on the base.
        on_base_percent: f64,
        /// Per cent inside the base.
        inside_percent: f64,
    },
    /// An addition counted in the parts of the base.
    InPartsOfBase {
        /// The base's parts.
        base: f64,
        /// That in per cent.
        percent: f64,
        /// What it would be as per cent.
        as_percent: f64,
    },
    /// No base to count it on.
    NoBase,
    /// Much for an addition, per cent.
    MuchForAddition(f64),
    /// A further amount that isn't used.
    SecondAmount(String),
    /// Words that aren't used.
    NotUsed(String),
    /// A word left out of a name.
    LeftOutOfName(String),
    /// A colour before a name: one of several versions?
    ColourBeforeName(String),
    /// No material is called so.
    UnknownName(String),
    /// What a nickname leaves open, as the table of nicknames says it.
    Nickname(String),
    /// Read without a letter that no material here has.
    WithoutLetter {
        /// As written.
        written: String,
        /// What it was read as.
        material: String,
        /// The letter.
        letter: String,
    },
    /// The studio's own material whose name holds what is written.
    TakenAsOwn {
        /// As written.
        written: String,
        /// The own material.
        material: String,
    },
    /// Several of the studio's own materials hold this name.
    SeveralOwn(String),
    /// A slip of the pen.
    SlipOfThePen {
        /// As written.
        written: String,
        /// What it was read as.
        material: String,
    },
    /// `equal parts` read as one part of each.
    EqualParts(String),
    /// A line is crossed out.
    CrossedOut(usize),
    /// The first line was taken for the glaze's name.
    TakenForTitle {
        /// The line.
        line: usize,
        /// Its words.
        text: String,
    },
    /// `+` before nearly every line is a bullet.
    PlusAsBullet,
    /// A second recipe starts here and isn't read.
    SecondRecipe(usize),
    /// Several versions whose additions are all counted.
    SeveralVersions(Vec<String>),
    /// The base adds up to this, not to 100.
    BaseNotHundred(f64),
    /// A total that the lines don't make.
    TotalDisagrees {
        /// The line of the total.
        line: usize,
        /// What it says.
        said: f64,
        /// What the lines add up to.
        lines: f64,
        /// Whether both are grams.
        grams: bool,
    },
    /// So many lines are open.
    OpenLines(usize),
}

/// A unit that could be another, and what it was read as.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UnitGuess {
    /// `T`.
    Tablespoon,
    /// `t`.
    Teaspoon,
    /// `gr`, which may be an old grain.
    Grams,
    /// `cwt`, of which there are two.
    Hundredweight,
    /// `#`.
    Pounds,
    /// `pts`, which may be pints.
    Parts,
}
