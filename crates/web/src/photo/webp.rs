//! WebP (RFC 9649): a RIFF file of chunks, each with its type and its length.

/// Exif and XMP in the extended header's flags (RFC 9649, 2.7.1).
const EXIF_AND_XMP: u8 = 0b0000_1100;
const GO: [&[u8]; 2] = [b"EXIF", b"XMP "];

/// Without Exif and XMP; what stands behind the end goes too.
pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let said = u32::from_le_bytes(*bytes.get(4..)?.first_chunk::<4>()?);
    let end = usize::try_from(said).ok()?.checked_add(8)?;
    let mut rest = bytes.get(12..end)?;
    let mut chunks = Vec::new();
    while !rest.is_empty() {
        let length = u32::from_le_bytes(*rest.get(4..)?.first_chunk::<4>()?);
        let length = usize::try_from(length).ok()?;
        let whole = length.checked_add(length % 2)?.checked_add(8)?;
        let mut chunk = rest.get(..whole)?.to_vec();
        if &chunk[..4] == b"VP8X" {
            *chunk.get_mut(8)? &= !EXIF_AND_XMP;
        }
        if !GO.contains(&&chunk[..4]) {
            chunks.extend(chunk);
        }
        rest = &rest[whole..];
    }
    if chunks.is_empty() {
        return None;
    }
    let length = u32::try_from(chunks.len() + 4).ok()?.to_le_bytes();
    Some([b"RIFF", &length[..], b"WEBP", &chunks].concat())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chunk(kind: &[u8], inside: &[u8]) -> Vec<u8> {
        let length = u32::try_from(inside.len()).unwrap().to_le_bytes();
        let pad = vec![0; inside.len() % 2];
        [kind, &length[..], inside, &pad].concat()
    }

    #[test]
    fn exif_and_its_flag_go() {
        let chunks = [
            chunk(b"VP8X", &[EXIF_AND_XMP | 0x10, 0, 0, 0, 1, 0, 0, 1, 0, 0]),
            chunk(b"VP8 ", b"picture"),
            chunk(b"EXIF", b"GPS"),
        ]
        .concat();
        let length = u32::try_from(chunks.len() + 4).unwrap().to_le_bytes();
        let whole = [b"RIFF", &length[..], b"WEBP", &chunks].concat();
        let bare = bare(&[&whole[..], b"Ann"].concat()).unwrap();
        let text = String::from_utf8_lossy(&bare);
        assert!(text.contains("picture") && !text.contains("GPS") && !text.contains("Ann"));
        assert_eq!(bare[20], 0x10);
        for cut in 0..whole.len() {
            assert_eq!(super::bare(&whole[..cut]), None, "{cut}");
        }
    }
}
