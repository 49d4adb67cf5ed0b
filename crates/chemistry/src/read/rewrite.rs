//! Texts and keys of a file changed where they stand, several at once; every other byte
//! stays. The new text is read back and must say the same but for them.

use crate::diagnostic::{Diagnostic, Mark, Source, of_typed};

use super::edit::{escaped, plain_or_quoted};
use super::node::{Node, Value, parse};

/// A text, or a key, that gets another one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rewrite {
    /// Where it starts.
    pub mark: Mark,
    /// What it says.
    pub old: String,
    /// What it shall say.
    pub new: String,
}

/// The file's text with these in it.
///
/// # Errors
/// Text that isn't YAML; one that can't be changed in place: it runs over lines, has
/// escapes, or is pointed at by an alias.
pub fn rewritten(source: &Source, rewrites: &[Rewrite]) -> Result<String, Diagnostic> {
    let root = parse(source)?;
    let mut text = source.text.to_string();
    let mut last_first: Vec<&Rewrite> = rewrites.iter().collect();
    last_first.sort_by_key(|rewrite| rewrite.mark);
    for rewrite in last_first.into_iter().rev() {
        let (range, new) = place_of(source, rewrite).ok_or_else(|| not_in_place(source, rewrite))?;
        text.replace_range(range, &new);
    }
    let renewed = Source {
        name: source.name.clone(),
        text: text.as_str().into(),
    };
    let same = parse(&renewed).is_ok_and(|read| says(&root, &read, rewrites));
    match rewrites.first() {
        Some(first) if !same => Err(not_in_place(source, first)),
        _ => Ok(text),
    }
}

/// The bytes that a text stands in, and what to put there: in the quotes that are there.
fn place_of(source: &Source, rewrite: &Rewrite) -> Option<(std::ops::Range<usize>, String)> {
    let start = source.offset(rewrite.mark)?;
    let quote = source.text[..start]
        .chars()
        .next_back()
        .filter(|sign| matches!(sign, '"' | '\''));
    let within = quote.map(|quote| escaped(&rewrite.old, Some(quote)));
    if let (Some(quote), Some(within)) = (quote, within)
        && source.text[start..]
            .strip_prefix(within.as_str())
            .is_some_and(|rest| rest.starts_with(quote))
    {
        return Some((start..start + within.len(), escaped(&rewrite.new, Some(quote))));
    }
    let plain = source.text[start..].starts_with(rewrite.old.as_str());
    plain.then(|| (start..start + rewrite.old.len(), plain_or_quoted(&rewrite.new)))
}

/// Whether the new tree says what the old one does but for these.
fn says(old: &Node, new: &Node, rewrites: &[Rewrite]) -> bool {
    let text = |mark: Mark, old: &str, new: &str| match rewrites.iter().find(|rewrite| rewrite.mark == mark) {
        Some(rewrite) => rewrite.new == new,
        None => old == new,
    };
    match (&old.value, &new.value) {
        (Value::Text(one), Value::Text(other)) => text(old.mark, one, other),
        (Value::Nothing, Value::Nothing) => true,
        (Value::List(one), Value::List(other)) => {
            one.len() == other.len() && one.iter().zip(other).all(|(one, other)| says(one, other, rewrites))
        }
        (Value::Map(one), Value::Map(other)) => {
            let pairs = || one.iter().zip(other);
            one.len() == other.len()
                && pairs().all(|(one, other)| text(one.0.mark, &one.0.text, &other.0.text))
                && pairs().all(|(one, other)| says(&one.1, &other.1, rewrites))
        }
        _ => false,
    }
}

fn not_in_place(source: &Source, rewrite: &Rewrite) -> Diagnostic {
    Diagnostic::error(
        "not-in-place",
        of_typed(&rewrite.old, "can't be changed safely where it stands"),
    )
    .at(source, rewrite.mark, rewrite.old.chars().count())
    .help("nothing was changed; write it plainly on one line")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rewrite(source: &Source, old: &str, new: &str) -> Result<String, &'static str> {
        fn collect(node: &Node, old: &str, new: &str, into: &mut Vec<Rewrite>) {
            let mut take = |text: &str, mark: Mark| {
                if text == old {
                    into.push(Rewrite {
                        mark,
                        old: old.to_owned(),
                        new: new.to_owned(),
                    });
                }
            };
            match &node.value {
                Value::Text(text) => take(text, node.mark),
                Value::Nothing => {}
                Value::List(items) => items.iter().for_each(|item| collect(item, old, new, into)),
                Value::Map(entries) => {
                    entries.iter().for_each(|(key, _)| take(&key.text, key.mark));
                    entries.iter().for_each(|(_, node)| collect(node, old, new, into));
                }
            }
        }
        let root = parse(source).unwrap_or_else(|why| panic!("{why:?}"));
        let mut found = Vec::new();
        collect(&root, old, new, &mut found);
        rewritten(source, &found).map_err(|why| why.code)
    }

    #[test]
    fn names_change_in_keys_lists_and_quotes_and_nothing_else_does() {
        let text = "glaze: A # silica\r\nparts: { silica: 26, \"silica\" : 4, whiting: 18 }\r\nadditions:\r\n  'silica': 3\r\nrecommended: [ silica, x ]\r\nnotes: silica\r\n";
        let source = Source::from_text("g.yaml", text);
        let wanted = text
            .replace("{ silica: 26, \"silica\"", "{ \"flint, fine\": 26, \"flint, fine\"")
            .replace("'silica'", "'flint, fine'")
            .replace("[ silica", "[ \"flint, fine\"")
            .replace("notes: silica", "notes: \"flint, fine\"");
        assert_eq!(rewrite(&source, "silica", "flint, fine"), Ok(wanted));
    }

    #[test]
    fn what_an_alias_points_at_is_refused() {
        let source = Source::from_text("g.yaml", "a: &x silica\nb: *x\n");
        assert_eq!(rewrite(&source, "silica", "flint"), Err("not-in-place"));
    }
}
