//! Clocks that the bench keeps: powder that soaks, bars in water.

use super::{Html, Seal, fields};
use crate::html;

/// A clock as it stands now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clock {
    /// Its name of ours.
    pub id: String,
    /// What it is for.
    pub what: String,
    /// Seconds to go; below zero: it is over since so many.
    pub seconds: i64,
}

/// What powder needs to take up water: common practice, no source.
pub const FOR_SLAKING: [(&str, &str); 4] = [
    ("15", "15 minutes"),
    ("30", "half an hour"),
    ("60", "an hour"),
    ("720", "overnight"),
];
/// What bars are left in water for, as the form beside asks.
pub const FOR_BARS: [(&str, &str); 3] = [
    ("1440", "soak in cold water: 24 hours"),
    ("300", "boil: 5 hours"),
    ("720", "cool in the same water: a night"),
];

impl Clock {
    /// How long it still is.
    pub fn left(&self) -> String {
        let minutes = self.seconds.unsigned_abs().div_ceil(60);
        let long = if minutes < 90 {
            format!("{minutes} min")
        } else {
            format!("{} h", (minutes + 30) / 60)
        };
        if self.seconds > 0 {
            format!("{long} to go")
        } else {
            format!("done since {long}")
        }
    }

    fn shown(&self, seal: &Seal) -> Html {
        let told = if self.seconds > 0 {
            html!("<strong data-seconds=\"{}\">{}</strong>", self.seconds, self.left())
        } else {
            html!("<strong>{}</strong>", self.left())
        };
        let key = format!("Stop the clock: {}", self.what);
        html!(
            "<li>{}: {}{}</li>",
            self.what,
            told,
            fields::doing(seal, "/clock/stop", fields::hidden("id", &self.id), &key)
        )
    }
}

/// All that run; nothing where none does.
pub fn running(clocks: &[Clock], seal: impl Fn() -> Seal) -> Html {
    if clocks.is_empty() {
        return Html::default();
    }
    let all: Html = clocks.iter().map(|clock| clock.shown(&seal())).collect();
    html!("<section><h2>Clocks</h2><ul class=\"list\">{}</ul></section>", all)
}

/// A form to start one.
pub fn to_start(seal: &Seal, what: &str, times: &[(&str, &str)], back: &str) -> Html {
    let inside: Html = [
        fields::hidden("what", what),
        fields::hidden("back", back),
        fields::worded("minutes", "How long?", times, None),
    ]
    .into_iter()
    .collect();
    html!(
        "<details class=\"section\"><summary>Start a clock</summary>{}</details>",
        fields::doing(seal, "/clock", inside, "Start")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_tells_what_is_left() {
        let left = |seconds| {
            Clock {
                id: String::new(),
                what: String::new(),
                seconds,
            }
            .left()
        };
        assert_eq!(left(61), "2 min to go");
        assert_eq!(left(24 * 3600), "24 h to go");
        assert_eq!(left(0), "done since 0 min");
        assert_eq!(left(-3 * 60), "done since 3 min");
    }
}
