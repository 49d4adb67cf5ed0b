//! How a day stands in the journal: `2026-11-24`.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::date::Date;

impl Serialize for Date {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Date {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Date, D::Error> {
        let text = String::deserialize(from)?;
        Date::parse(&text).map_err(|trouble| serde::de::Error::custom(trouble.message))
    }
}
