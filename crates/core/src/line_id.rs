//! Names of lines: what voids, later looks and batches refer to, whatever order a merge of two
//! clones leaves the lines in.

use serde_json::{Map, Value};
use sha2::{Digest, Sha256};

/// Signs of an id.
const LENGTH: usize = 8;
/// The alphabet of base32 (RFC 4648), in lower case.
const ALPHABET: &[u8; 32] = b"abcdefghijklmnopqrstuvwxyz234567";

/// The id of a line with these keys: 8 signs of lower-case base32 of SHA-256 of the line as
/// JSON without blanks, its keys in order of their letters, without `id` and without what is
/// `null`.
pub(crate) fn id_of(fields: &[(String, Value)]) -> String {
    let mut kept: Vec<&(String, Value)> = fields
        .iter()
        .filter(|(key, value)| key != "id" && !value.is_null())
        .collect();
    kept.sort_by(|one, other| one.0.cmp(&other.0));
    let mut text = String::from("{");
    for (index, (key, value)) in kept.into_iter().enumerate() {
        if index > 0 {
            text.push(',');
        }
        text.push_str(&Value::from(key.as_str()).to_string());
        text.push(':');
        match value {
            Value::Object(map) => text.push_str(&in_order(map).to_string()),
            other => text.push_str(&other.to_string()),
        }
    }
    text.push('}');
    id_of_text(&text)
}

/// The id of a line that can't be read.
pub(crate) fn id_of_text(text: &str) -> String {
    let hash = Sha256::digest(text.as_bytes());
    let bits = hash
        .iter()
        .take(5)
        .fold(0_u64, |bits, byte| bits << 8 | u64::from(*byte));
    let sign = |place: usize| {
        let five = bits >> (5 * (LENGTH - 1 - place)) & 31;
        char::from(ALPHABET[five as usize])
    };
    (0..LENGTH).map(sign).collect()
}

pub(crate) fn in_order(map: &Map<String, Value>) -> Value {
    let mut pairs: Vec<(&String, &Value)> = map.iter().collect();
    pairs.sort_by_key(|(key, _)| *key);
    let inner = |value: &Value| match value {
        Value::Object(map) => in_order(map),
        other => other.clone(),
    };
    let map: Map<String, Value> = pairs
        .into_iter()
        .map(|(key, value)| (key.clone(), inner(value)))
        .collect();
    Value::Object(map)
}

/// Whether a text looks like an id rather than like the number of a line.
pub(crate) fn looks_like_id(text: &str) -> bool {
    text.len() == LENGTH && text.bytes().all(|sign| ALPHABET.contains(&sign.to_ascii_lowercase()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn id(text: &str) -> String {
        match serde_json::from_str::<Value>(text) {
            Ok(Value::Object(map)) => id_of(&map.into_iter().collect::<Vec<_>>()),
            other => panic!("{other:?}"),
        }
    }

    /// Worked outside with Python's hashlib and base64:
    /// `base64.b32encode(hashlib.sha256(text).digest())[:8].lower()` of
    /// `{"glaze":"A","on":"2026-11-24","pieces":5}`.
    #[test]
    fn it_is_base32_of_sha_256_of_the_other_keys_in_order() {
        let outside = "jpq5lo67";
        assert_eq!(id(r#"{"on": "2026-11-24", "glaze": "A", "pieces": 5}"#), outside);
        assert_eq!(
            id(r#"{"pieces": 5, "id": "abcdefgh", "glaze": "A", "tile": null, "on": "2026-11-24"}"#),
            outside
        );
        assert_ne!(id(r#"{"on": "2026-11-24", "glaze": "A", "pieces": 6}"#), outside);
        assert!(looks_like_id(outside) && !looks_like_id("3") && !looks_like_id("12345678"));
    }
}
