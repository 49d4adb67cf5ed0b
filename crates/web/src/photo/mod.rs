//! Photos as they come from a phone: known by their first bytes, and without what they
//! tell of place and owner.

mod jpeg;
mod kept;
mod png;
mod webp;

pub(crate) use kept::{Kept, of_name};

/// A sort of picture.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Jpeg,
    Png,
    WebP,
}

impl Kind {
    /// By the first bytes, whatever a name says.
    pub(crate) fn of(bytes: &[u8]) -> Option<Kind> {
        if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
            Some(Kind::Jpeg)
        } else if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
            Some(Kind::Png)
        } else if bytes.starts_with(b"RIFF") && bytes.get(8..12) == Some(b"WEBP") {
            Some(Kind::WebP)
        } else {
            None
        }
    }

    pub(crate) const fn ending(self) -> &'static str {
        match self {
            Kind::Jpeg => "jpg",
            Kind::Png => "png",
            Kind::WebP => "webp",
        }
    }

    pub(crate) const fn media_type(self) -> &'static str {
        match self {
            Kind::Jpeg => "image/jpeg",
            Kind::Png => "image/png",
            Kind::WebP => "image/webp",
        }
    }

    /// The same picture without what is told beside it; `None` where it isn't whole.
    pub(crate) fn bare(self, bytes: &[u8]) -> Option<Vec<u8>> {
        match self {
            Kind::Jpeg => jpeg::bare(bytes),
            Kind::Png => png::bare(bytes),
            Kind::WebP => webp::bare(bytes),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_picture_is_known_by_its_first_bytes() {
        assert_eq!(Kind::of(b"\xff\xd8\xff\xe0"), Some(Kind::Jpeg));
        assert_eq!(Kind::of(b"\x89PNG\r\n\x1a\n"), Some(Kind::Png));
        assert_eq!(Kind::of(b"RIFF\0\0\0\0WEBPVP8 "), Some(Kind::WebP));
        for none in [&b"GIF89a"[..], b"<svg xmlns=", b"%PDF", b"", b"RIFF\0\0\0\0WAVE"] {
            assert_eq!(Kind::of(none), None);
        }
    }
}
