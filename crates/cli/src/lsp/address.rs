//! Files as the protocol names them: `file:` URIs (RFC 8089), percent-encoded.

use std::path::{Path, PathBuf};

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

/// The URI of a file; `None` where its path isn't text.
pub(super) fn uri(path: &Path) -> Option<Uri> {
    let text = path.to_str()?;
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte);
    let mut uri = "file://".to_owned();
    if !text.starts_with('/') {
        // A drive's letter comes after a slash.
        uri.push('/');
    }
    for byte in text.bytes() {
        match byte {
            b'\\' if cfg!(windows) => uri.push('/'),
            byte if plain(byte) => uri.push(char::from(byte)),
            byte => uri.push_str(&format!("%{byte:02X}")),
        }
    }
    uri.parse().ok()
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
        let back = |path: &str| uri(Path::new(path)).map(|uri| uri.as_str().to_owned());
        assert_eq!(back("/a/my ö.yaml").as_deref(), Some("file:///a/my%20%C3%B6.yaml"));
        assert_eq!(path_of("untitled:1"), None);
        assert_eq!(path_of("file://elsewhere/a.yaml"), None);
    }
}
