//! What a sentence of an answer says on a page: hints at a terminal's options are left out,
//! since the page has keys of its own for them.

/// What parts of a sentence end with.
const ENDS: [&str; 5] = [". ", "? ", "; ", ", ", ": "];
/// Commands that an answer names without quotes. `kiln` isn't among them: a glost kiln is
/// a kiln.
const COMMANDS: [&str; 8] = ["note", "plan", "blend", "add", "set", "weigh", "results", "script"];

/// The text without the parts that name an option or a command; empty where nothing else
/// was said.
pub fn for_page(text: &str) -> String {
    if !names_a_terminal(text) {
        return text.to_owned();
    }
    let text = without_brackets(text);
    let mut kept = String::new();
    for part in parts(&text) {
        let (said, end) = ended(part);
        if names_a_terminal(said) {
            // What led to it goes, too.
            let lead = kept.trim_end();
            if lead.ends_with(':') {
                let start = lead.rfind([';', '.', ',']).map_or(0, |at| at + 1);
                kept.truncate(start);
            }
        } else {
            kept.push_str(said);
            kept.push_str(end);
        }
    }
    let ends_a_sentence = text.trim_end().ends_with('.');
    let kept = kept.trim().trim_end_matches([';', ',', ':', ' ']);
    match ends_a_sentence && !kept.is_empty() && !kept.ends_with(['.', '?']) {
        true => format!("{kept}."),
        false => kept.to_owned(),
    }
}

fn names_a_terminal(text: &str) -> bool {
    let option = |word: &str| {
        let bare = word.trim_start_matches(['`', '(', '"', '\'']);
        bare.strip_prefix("--")
            .is_some_and(|name| name.starts_with(|sign: char| sign.is_ascii_lowercase()))
    };
    let command = |name: &&str| text.contains(&format!("glost {name} "));
    text.split_whitespace().any(option)
        || text.contains("`glost ")
        || text.contains("KEY=VALUE")
        || COMMANDS.iter().any(command)
}

/// Without brackets that name one.
fn without_brackets(text: &str) -> String {
    let mut rest = text;
    let mut kept = String::new();
    while let Some(open) = rest.find(" (") {
        let Some(close) = rest[open..].find(')').map(|at| open + at + 1) else {
            break;
        };
        kept.push_str(&rest[..open]);
        if !names_a_terminal(&rest[open + 1..close]) {
            kept.push_str(&rest[open..close]);
        }
        rest = &rest[close..];
    }
    kept + rest
}

/// The parts of a text with their ends; nothing between backticks or quotes ends one.
fn parts(text: &str) -> Vec<&str> {
    let (mut found, mut start, mut quoted) = (Vec::new(), 0, None);
    for (at, sign) in text.char_indices() {
        match (quoted, sign) {
            (Some(quote), sign) if sign == quote => quoted = None,
            (None, '`' | '"') => quoted = Some(sign),
            (None, _) => {
                if let Some(end) = ENDS.iter().find(|end| text[at..].starts_with(**end)) {
                    found.push(&text[start..at + end.len()]);
                    start = at + end.len();
                }
            }
            (Some(_), _) => {}
        }
    }
    found.push(&text[start..]);
    found
}

fn ended(part: &str) -> (&str, &str) {
    let end = ENDS.iter().find(|end| part.ends_with(**end));
    end.map_or((part, ""), |end| part.split_at(part.len() - end.len()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_page_names_no_option() {
        for (told, said) in [
            (
                "to cone 9, as its glazes say; --cone says another",
                "to cone 9, as its glazes say",
            ),
            (
                "Lamplight clear on buff, as booking or file says; `on CLAY` says another",
                "Lamplight clear on buff, as booking or file says; `on CLAY` says another",
            ),
            (
                "mixed it twice that day? Book the second with --batch 2",
                "mixed it twice that day?",
            ),
            (
                "10 tiles, weighed dry: 81 weighings; ends weighed, tiles blended wet: 19, with --volume.",
                "10 tiles, weighed dry: 81 weighings; ends weighed, tiles blended wet: 19.",
            ),
            (
                "bring it back (--unlisted notes it although no plan has it)",
                "bring it back",
            ),
            ("say each with --put", ""),
            (
                "Notes by tile: glost note --tile \"x, y/A1\"; its map: glost plan \"x\".",
                "",
            ),
            ("spring glost note", "spring glost note"),
            ("nothing (so far); 2.5, then more", "nothing (so far); 2.5, then more"),
        ] {
            assert_eq!(for_page(told), said, "{told}");
        }
    }
}
