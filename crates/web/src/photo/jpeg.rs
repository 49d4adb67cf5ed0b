//! JPEG (ITU-T T.81, annex B): segments, each with a marker and its length.

/// Start of image, start of scan.
const SOI: [u8; 2] = [0xff, 0xd8];
const SOS: u8 = 0xda;
/// What leads an Exif segment (Exif 2.3, 4.7.2).
const EXIF: &[u8] = b"Exif\0\0";
/// The tag that says which way is up (Exif 2.3, 4.6.4).
const ORIENTATION: u16 = 0x0112;

/// Without Exif, XMP, IPTC and comments; which way is up is kept.
pub(super) fn bare(bytes: &[u8]) -> Option<Vec<u8>> {
    let mut out = SOI.to_vec();
    let mut rest = bytes.strip_prefix(&SOI)?;
    let mut way_up = None;
    loop {
        let (marker, after) = marker(rest)?;
        let length = usize::from(u16::from_be_bytes([*after.first()?, *after.get(1)?]));
        let segment = after.get(..length).filter(|_| length >= 2)?;
        if let (0xe1, Some(exif)) = (marker, segment[2..].strip_prefix(EXIF)) {
            way_up = way_up.or(orientation(exif));
        }
        if marker == SOS {
            push_way_up(&mut out, way_up);
            out.extend([0xff, marker]);
            // What follows is the picture itself, with restarts and further scans in it.
            out.extend(up_to_end(after)?);
            return Some(out);
        }
        if is_kept(marker) {
            out.extend([0xff, marker]);
            out.extend(segment);
        }
        rest = &after[length..];
    }
}

/// The next marker, fill bytes before it left out.
fn marker(bytes: &[u8]) -> Option<(u8, &[u8])> {
    let bytes = bytes.strip_prefix(&[0xff])?;
    let at = bytes.iter().position(|byte| *byte != 0xff)?;
    Some((bytes[at], &bytes[at + 1..]))
}

/// Tables, frames, the header (APP0), the colour profile (APP2) and Adobe's colour
/// transform (APP14); other application segments and comments go.
fn is_kept(marker: u8) -> bool {
    !(0xe0..=0xef).contains(&marker) && marker != 0xfe || matches!(marker, 0xe0 | 0xe2 | 0xee)
}

/// The scans up to the end of the image; what a camera put behind it (a preview, a film)
/// goes, and so do comments and application segments between scans.
fn up_to_end(bytes: &[u8]) -> Option<&[u8]> {
    let end = bytes.windows(2).position(|pair| pair == [0xff, 0xd9])?;
    Some(&bytes[..end + 2])
}

/// Which way is up, from the first directory of a TIFF (Exif 2.3, 4.6.2).
fn orientation(tiff: &[u8]) -> Option<u8> {
    let is_little = match tiff.get(..4)? {
        b"II*\0" => true,
        b"MM\0*" => false,
        _ => return None,
    };
    let short = |at: usize| {
        let pair = [*tiff.get(at)?, *tiff.get(at + 1)?];
        Some(if is_little {
            u16::from_le_bytes(pair)
        } else {
            u16::from_be_bytes(pair)
        })
    };
    let four = [*tiff.get(4)?, *tiff.get(5)?, *tiff.get(6)?, *tiff.get(7)?];
    let at = if is_little {
        u32::from_le_bytes(four)
    } else {
        u32::from_be_bytes(four)
    };
    let at = usize::try_from(at).ok().filter(|at| *at < tiff.len())?;
    let entries = usize::from(short(at)?);
    (0..entries.min(64)).find_map(|entry| {
        let entry = at + 2 + entry * 12;
        let way = short(entry + 8).filter(|_| short(entry) == Some(ORIENTATION))?;
        u8::try_from(way).ok().filter(|way| (1..=8).contains(way))
    })
}

/// An Exif segment that says nothing but which way is up.
fn push_way_up(out: &mut Vec<u8>, way_up: Option<u8>) {
    let Some(way) = way_up.filter(|way| *way != 1) else {
        return;
    };
    let mut tiff = b"MM\0*\0\0\0\x08\0\x01".to_vec();
    tiff.extend(ORIENTATION.to_be_bytes());
    tiff.extend([0, 3, 0, 0, 0, 1, 0, way, 0, 0, 0, 0, 0, 0]);
    let length = u16::try_from(2 + EXIF.len() + tiff.len()).unwrap_or(u16::MAX);
    out.extend([0xff, 0xe1]);
    out.extend(length.to_be_bytes());
    out.extend(EXIF);
    out.extend(tiff);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn segment(marker: u8, inside: &[u8]) -> Vec<u8> {
        let length = u16::try_from(inside.len() + 2).unwrap().to_be_bytes();
        [&[0xff, marker][..], &length, inside].concat()
    }

    fn picture(exif: &[u8]) -> Vec<u8> {
        [
            SOI.to_vec(),
            segment(0xe0, b"JFIF\0"),
            segment(0xe1, &[EXIF, exif].concat()),
            segment(0xe1, b"http://ns.adobe.com/xap/1.0/\0<owner>Ann</owner>"),
            segment(0xed, b"Photoshop 3.0\0Ann"),
            segment(0xfe, b"by Ann"),
            segment(0xdb, &[1; 65]),
            segment(SOS, &[1, 1, 0, 0, 63, 0]),
            vec![1, 2, 0xff, 0, 3, 0xff, 0xd9],
            b"GPS behind the end".to_vec(),
        ]
        .concat()
    }

    #[test]
    fn place_and_owner_go_and_which_way_is_up_stays() {
        // Orientation 6, and a pointer to a place (GPS).
        let exif = b"II*\0\x08\0\0\0\x02\0\x12\x01\x03\0\x01\0\0\0\x06\0\0\0\x25\x88\x04\0\x01\0\0\0\x1a\0\0\0\0\0\0\0GPS 52 N 13 E";
        let bare = bare(&picture(exif)).unwrap();
        let text = String::from_utf8_lossy(&bare);
        for word in ["Ann", "GPS", "adobe", "Photoshop"] {
            assert!(!text.contains(word), "{word}");
        }
        assert!(bare.ends_with(&[3, 0xff, 0xd9]) && text.contains("JFIF"));
        let (_, exif) = bare.split_at(bare.windows(6).position(|six| six == EXIF).unwrap() + 6);
        assert_eq!(orientation(exif), Some(6));
        assert_eq!(super::bare(&bare).unwrap(), bare, "bare once is bare");
    }

    #[test]
    fn what_is_not_whole_is_none() {
        let whole = picture(b"");
        let end = whole.len() - b"GPS behind the end".len();
        for cut in 0..end {
            assert_eq!(bare(&whole[..cut]), None, "{cut}");
        }
        assert!(bare(&whole[..end]).is_some());
    }
}
