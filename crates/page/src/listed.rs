//! The entries of one list of an answer's JSON, one after the other: a book of years as a
//! table would not fit twice into memory.

use std::fmt;

use serde::Serialize;
use serde::ser::{self, Impossible, SerializeMap, SerializeSeq, SerializeStruct, Serializer};
use serde_json::Value;

/// An entry: its keys, each with what stands in its cell.
pub(crate) type Cells = Vec<(String, String)>;

/// What stands in the cell of a value: texts as they are, lists and maps as JSON.
pub(crate) fn cell(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        other => other.to_string(),
    }
}

/// Hands over each entry of the list under `key`. `false`: there is no such list at the top of
/// the answer, or not all of it can be told so; then nothing counts that was handed over.
pub(crate) fn each_entry<T: Serialize>(answer: &T, key: &str, take: &mut dyn FnMut(Cells)) -> bool {
    let mut lists = 0;
    let top = Top {
        key,
        take,
        lists: &mut lists,
    };
    answer.serialize(top).is_ok() && lists == 1
}

/// What isn't told entry by entry.
#[derive(Debug)]
struct Other;

impl fmt::Display for Other {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str("no list of entries")
    }
}

impl std::error::Error for Other {}

impl ser::Error for Other {
    fn custom<T: fmt::Display>(_: T) -> Other {
        Other
    }
}

/// Refuses every sort of value but those that the block says.
macro_rules! refuse_others {
    ($ok:ty) => {
        refuse_others!($ok, plain: serialize_bool(bool), serialize_i8(i8), serialize_i16(i16), serialize_i32(i32),
            serialize_i64(i64), serialize_u8(u8), serialize_u16(u16), serialize_u32(u32), serialize_u64(u64),
            serialize_f32(f32), serialize_f64(f64), serialize_char(char), serialize_str(&str),
            serialize_bytes(&[u8]), serialize_unit_struct(&'static str));
        type SerializeTuple = Impossible<$ok, Other>;
        type SerializeTupleStruct = Impossible<$ok, Other>;
        type SerializeTupleVariant = Impossible<$ok, Other>;
        type SerializeStructVariant = Impossible<$ok, Other>;
        fn serialize_none(self) -> Result<$ok, Other> {
            Err(Other)
        }
        fn serialize_unit(self) -> Result<$ok, Other> {
            Err(Other)
        }
        fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<$ok, Other> {
            value.serialize(self)
        }
        fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Result<$ok, Other> {
            value.serialize(self)
        }
        fn serialize_unit_variant(self, _: &'static str, _: u32, _: &'static str) -> Result<$ok, Other> {
            Err(Other)
        }
        fn serialize_newtype_variant<T: Serialize + ?Sized>(
            self, _: &'static str, _: u32, _: &'static str, _: &T,
        ) -> Result<$ok, Other> {
            Err(Other)
        }
        fn serialize_tuple(self, _: usize) -> Result<Self::SerializeTuple, Other> {
            Err(Other)
        }
        fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Self::SerializeTupleStruct, Other> {
            Err(Other)
        }
        fn serialize_tuple_variant(
            self, _: &'static str, _: u32, _: &'static str, _: usize,
        ) -> Result<Self::SerializeTupleVariant, Other> {
            Err(Other)
        }
        fn serialize_struct_variant(
            self, _: &'static str, _: u32, _: &'static str, _: usize,
        ) -> Result<Self::SerializeStructVariant, Other> {
            Err(Other)
        }
    };
    ($ok:ty, plain: $($name:ident($sort:ty)),*) => {
        type Ok = $ok;
        type Error = Other;
        $(fn $name(self, _: $sort) -> Result<$ok, Other> {
            Err(Other)
        })*
    };
}

/// The answer itself: a map of keys.
struct Top<'t> {
    key: &'t str,
    take: &'t mut dyn FnMut(Cells),
    lists: &'t mut usize,
}

impl Top<'_> {
    fn entry<T: Serialize + ?Sized>(&mut self, key: &str, value: &T) -> Result<(), Other> {
        if key != self.key {
            return Ok(());
        }
        *self.lists += 1;
        value.serialize(Entries(self.take))
    }
}

impl<'t> Serializer for Top<'t> {
    type SerializeSeq = Impossible<(), Other>;
    type SerializeMap = TopMap<'t>;
    type SerializeStruct = Top<'t>;
    refuse_others!(());

    fn serialize_seq(self, _: Option<usize>) -> Result<Self::SerializeSeq, Other> {
        Err(Other)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<TopMap<'t>, Other> {
        Ok(TopMap {
            top: self,
            key: String::new(),
        })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Top<'t>, Other> {
        Ok(self)
    }
}

impl SerializeStruct for Top<'_> {
    type Ok = ();
    type Error = Other;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), Other> {
        self.entry(key, value)
    }

    fn end(self) -> Result<(), Other> {
        Ok(())
    }
}

struct TopMap<'t> {
    top: Top<'t>,
    key: String,
}

impl SerializeMap for TopMap<'_> {
    type Ok = ();
    type Error = Other;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Other> {
        match serde_json::to_value(key) {
            Ok(Value::String(key)) => self.key = key,
            _ => return Err(Other),
        }
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Other> {
        let key = std::mem::take(&mut self.key);
        self.top.entry(&key, value)
    }

    fn end(self) -> Result<(), Other> {
        Ok(())
    }
}

/// The list.
struct Entries<'t>(&'t mut dyn FnMut(Cells));

impl<'t> Serializer for Entries<'t> {
    type SerializeSeq = Entries<'t>;
    type SerializeMap = Impossible<(), Other>;
    type SerializeStruct = Impossible<(), Other>;
    refuse_others!(());

    fn serialize_seq(self, _: Option<usize>) -> Result<Entries<'t>, Other> {
        Ok(self)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Self::SerializeMap, Other> {
        Err(Other)
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Self::SerializeStruct, Other> {
        Err(Other)
    }
}

impl SerializeSeq for Entries<'_> {
    type Ok = ();
    type Error = Other;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Other> {
        let cells = value.serialize(Entry(Cells::new()))?;
        (self.0)(cells);
        Ok(())
    }

    fn end(self) -> Result<(), Other> {
        Ok(())
    }
}

/// One entry.
struct Entry(Cells);

impl Entry {
    fn cell<T: Serialize + ?Sized>(&mut self, key: String, value: &T) -> Result<(), Other> {
        let json = serde_json::to_string(value).map_err(|_| Other)?;
        let text = match json.as_bytes() {
            b"null" => String::new(),
            [b'"', ..] => serde_json::from_str(&json).map_err(|_| Other)?,
            _ => json,
        };
        // Of a key that comes twice the last counts, as in the whole JSON.
        match self.0.iter_mut().find(|known| known.0 == key) {
            Some(known) => known.1 = text,
            None => self.0.push((key, text)),
        }
        Ok(())
    }
}

impl Serializer for Entry {
    type SerializeSeq = Impossible<Cells, Other>;
    type SerializeMap = EntryMap;
    type SerializeStruct = Entry;
    refuse_others!(Cells);

    fn serialize_seq(self, _: Option<usize>) -> Result<Self::SerializeSeq, Other> {
        Err(Other)
    }

    fn serialize_map(self, _: Option<usize>) -> Result<EntryMap, Other> {
        Ok(EntryMap {
            entry: self,
            key: String::new(),
        })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Entry, Other> {
        Ok(self)
    }
}

impl SerializeStruct for Entry {
    type Ok = Cells;
    type Error = Other;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, key: &'static str, value: &T) -> Result<(), Other> {
        self.cell(key.to_owned(), value)
    }

    fn end(self) -> Result<Cells, Other> {
        Ok(self.0)
    }
}

struct EntryMap {
    entry: Entry,
    key: String,
}

impl SerializeMap for EntryMap {
    type Ok = Cells;
    type Error = Other;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Other> {
        match serde_json::to_value(key) {
            Ok(Value::String(key)) => self.key = key,
            _ => return Err(Other),
        }
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Other> {
        let key = std::mem::take(&mut self.key);
        self.entry.cell(key, value)
    }

    fn end(self) -> Result<Cells, Other> {
        Ok(self.entry.0)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeMap;

    use super::*;

    #[derive(Serialize)]
    struct Item {
        name: &'static str,
        #[serde(flatten)]
        more: BTreeMap<&'static str, Value>,
        none: Option<u8>,
    }

    #[derive(Serialize)]
    struct Answer {
        before: u8,
        list: Vec<Item>,
        none: Option<u8>,
    }

    fn told<T: Serialize>(answer: &T, key: &str) -> Option<Vec<Cells>> {
        let mut all = Vec::new();
        each_entry(answer, key, &mut |entry| all.push(entry)).then_some(all)
    }

    #[test]
    fn cells_are_those_of_the_whole_json() {
        let more = BTreeMap::from([
            ("list", serde_json::json!([1.5, "a", null])),
            ("long", serde_json::json!("a \"b\", \u{e9}\n")),
            ("name", serde_json::json!("the last")),
            ("number", serde_json::json!(1e300)),
        ]);
        let item = |more: BTreeMap<&'static str, Value>| Item {
            name: "first",
            more,
            none: None,
        };
        let answer = Answer {
            before: 1,
            list: vec![item(more), item(BTreeMap::new())],
            none: None,
        };
        let whole = serde_json::to_value(&answer).unwrap_or(Value::Null);
        let of_whole = |entry: &Value| -> Cells {
            let map = entry.as_object().into_iter().flatten();
            map.map(|(key, value)| (key.clone(), cell(value))).collect()
        };
        let wanted: Vec<Cells> = whole["list"].as_array().into_iter().flatten().map(of_whole).collect();
        assert_eq!(told(&answer, "list"), Some(wanted));
        for none in ["before", "none", "other"] {
            assert_eq!(told(&answer, none), None, "{none}");
        }
        assert_eq!(told(&BTreeMap::from([("list", vec![3])]), "list"), None, "no maps");
    }
}
