//! PNG (ISO/IEC 15948): chunks, each with its length, its type and a checksum.

const SIGNATURE: &[u8] = b"\x89PNG\r\n\x1a\n";
/// Text, time and Exif.
const GO: [&[u8]; 5] = [b"tEXt", b"zTXt", b"iTXt", b"eXIf", b"tIME"];

/// Without text, time and Exif; what stands behind the end goes too.
pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut rest = bytes.strip_prefix(SIGNATURE)?;
    let mut out = SIGNATURE.to_vec();
    loop {
        let length = rest.first_chunk::<4>().map(|four| u32::from_be_bytes(*four))?;
        let whole = usize::try_from(length).ok()?.checked_add(12)?;
        let chunk = rest.get(..whole)?;
        let kind = &chunk[4..8];
        if !GO.contains(&kind) {
            out.extend(chunk);
        }
        if kind == b"IEND" {
            return Some(out);
        }
        rest = &rest[whole..];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chunk(kind: &[u8], inside: &[u8]) -> Vec<u8> {
        let length = u32::try_from(inside.len()).unwrap().to_be_bytes();
        [&length[..], kind, inside, &[0; 4]].concat()
    }

    #[test]
    fn text_and_exif_go() {
        let parts = [
            SIGNATURE.to_vec(),
            chunk(b"IHDR", &[0; 13]),
            chunk(b"tEXt", b"Author\0Ann"),
            chunk(b"eXIf", b"GPS"),
            chunk(b"IDAT", b"picture"),
            chunk(b"IEND", b""),
        ];
        let whole = parts.concat();
        let bare = bare(&[&whole[..], b"Ann"].concat()).unwrap();
        let text = String::from_utf8_lossy(&bare);
        assert!(text.contains("picture") && !text.contains("Ann") && !text.contains("GPS"));
        for cut in 0..whole.len() {
            assert_eq!(super::bare(&whole[..cut]), None, "{cut}");
        }
    }
}
