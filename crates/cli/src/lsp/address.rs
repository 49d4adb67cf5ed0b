//! Files as the protocol names them: `file:` URIs (RFC 8089), percent-encoded.

use std::path::PathBuf;

use lsp_types::Uri;

/// The path of a file's URI; `None` of anything else.
pub(super) fn path(uri: &Uri) -> Option<PathBuf> {
    let rest = uri.as_str().strip_prefix("file://")?;
    let (host, path) = rest.split_at(rest.find('/')?);
    if !host.is_empty() && host != "localhost" {
        return None;
    }
    let text = decoded(path)?;
    // `/C:/studio`: the slash before a drive's letter belongs to the URI.
    let drive = text.as_bytes().get(2) == Some(&b':') && cfg!(windows);
    Some(PathBuf::from(if drive { &text[1..] } else { &text }))
}

fn decoded(path: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = path.as_bytes();
    while let [first, after @ ..] = rest {
        rest = after;
        if *first != b'%' {
            bytes.push(*first);
            continue;
        }
        let hex = std::str::from_utf8(after.get(..2)?).ok()?;
        bytes.push(u8::from_str_radix(hex, 16).ok()?);
        rest = &after[2..];
    }
    // A name that isn't text can't be told from others in complaints.
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_files_uri_is_its_path() {
        let path_of = |text: &str| path(&text.parse().unwrap_or_else(|why| panic!("{text}: {why}")));
        assert_eq!(path_of("file:///a/my%20clear.yaml"), Some("/a/my clear.yaml".into()));
        assert_eq!(path_of("file://localhost/a/%C3%B6.yaml"), Some("/a/ö.yaml".into()));
        assert_eq!(path_of("untitled:1"), None);
        assert_eq!(path_of("file://elsewhere/a.yaml"), None);
    }
}
