//! A form with a file, as a browser sends it: `multipart/form-data` (RFC 7578).

use axum::body::Bytes;

use super::Form;

/// What was filled in, and the file that came along.
#[derive(Debug, Clone)]
pub(crate) struct Upload {
    pub(crate) form: Form,
    /// `None` where none was chosen.
    pub(crate) file: Option<Bytes>,
}

impl Upload {
    /// Reads a body between its boundaries; `None` where it isn't whole, or holds more
    /// than one file.
    pub(crate) fn read(kind: &str, body: &Bytes) -> Option<Upload> {
        let boundary = kind
            .split(';')
            .find_map(|option| option.trim().strip_prefix("boundary="))?
            .trim_matches('"');
        if boundary.is_empty() || boundary.len() > 70 {
            return None;
        }
        let line = format!("--{boundary}");
        let between = format!("\r\n{line}");
        let mut at = line.len();
        body.get(..at).filter(|first| *first == line.as_bytes())?;
        let (mut pairs, mut file) = (Vec::new(), None);
        while body.get(at..at + 2) == Some(b"\r\n") {
            at += 2;
            let head = at + find(&body[at..], b"\r\n\r\n")?;
            let inside = head + 4;
            let end = inside + find(&body[inside..], between.as_bytes())?;
            let (name, is_file) = named(std::str::from_utf8(&body[at..head]).ok()?)?;
            if is_file {
                if end > inside && file.replace(body.slice(inside..end)).is_some() {
                    return None;
                }
            } else {
                let value = std::str::from_utf8(&body[inside..end]).ok()?;
                pairs.push((name, value.replace("\r\n", "\n")));
            }
            at = end + between.len();
        }
        let ended = body.get(at..at + 2) == Some(b"--");
        ended.then(|| Upload {
            form: Form::of(pairs),
            file,
        })
    }
}

fn find(bytes: &[u8], wanted: &[u8]) -> Option<usize> {
    bytes.windows(wanted.len()).position(|window| window == wanted)
}

/// A part's name, and whether it is a file.
fn named(head: &str) -> Option<(String, bool)> {
    let line = head
        .split("\r\n")
        .find(|line| line.to_ascii_lowercase().starts_with("content-disposition:"))?;
    let name = line.split("; name=\"").nth(1)?.split('"').next()?;
    Some((
        name.to_owned(),
        line.contains("; filename=\"") || line.contains("; filename*="),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    const KIND: &str = "multipart/form-data; boundary=AbC";

    fn body(file: &str) -> String {
        format!(
            "--AbC\r\nContent-Disposition: form-data; name=\"text\"\r\n\r\nit ran\r\n--AbC\r\n\
             Content-Disposition: form-data; name=\"photo\"; filename=\"../x.jpg\"\r\nContent-Type: image/jpeg\r\n\r\n{file}\r\n--AbC--\r\n"
        )
    }

    #[test]
    fn a_form_with_a_file_is_read() {
        let upload = Upload::read(KIND, &Bytes::from(body("\u{1}\r\n--Ab"))).unwrap();
        assert_eq!(upload.form.text("text"), Some("it ran"));
        assert_eq!(upload.file.unwrap(), "\u{1}\r\n--Ab");
        assert!(Upload::read(KIND, &Bytes::from(body(""))).unwrap().file.is_none());
    }

    #[test]
    fn what_is_not_whole_is_none() {
        let whole = body("x");
        for cut in 0..whole.len() - 2 {
            assert!(
                Upload::read(KIND, &Bytes::copy_from_slice(&whole.as_bytes()[..cut])).is_none(),
                "{cut}"
            );
        }
        assert!(Upload::read("multipart/form-data", &Bytes::from(whole)).is_none());
    }
}
