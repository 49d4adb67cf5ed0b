//! Takes the YAML grammar of the shipped materials apart once, when the crate is
//! built: a studio's first command would else spend a third of its time on it.
//!
//! What is written is the list of values with their places, in the order of the
//! file, as `read::packed` describes; a test there holds it against the files.

use std::error::Error;
use std::path::{Path, PathBuf};

use saphyr_parser::{Event, Parser, ScalarStyle};

fn main() -> Result<(), Box<dyn Error>> {
    let out = PathBuf::from(std::env::var("OUT_DIR")?);
    for name in ["published", "representative", "textbook"] {
        let file = Path::new("materials").join(format!("{name}.yaml"));
        println!("cargo::rerun-if-changed={}", file.display());
        let text = std::fs::read_to_string(&file)?;
        std::fs::write(out.join(format!("{name}.values")), packed(&text)?)?;
    }
    Ok(())
}

fn packed(text: &str) -> Result<Vec<u8>, Box<dyn Error>> {
    let mut bytes = Vec::new();
    for event in Parser::new_from_str(text) {
        let (event, span) = event?;
        let mut value = |sign: u8, after_quote: usize| -> Result<(), Box<dyn Error>> {
            bytes.push(sign);
            bytes.extend(u16::try_from(span.start.line())?.to_le_bytes());
            bytes.extend(u16::try_from(span.start.col() + 1 + after_quote)?.to_le_bytes());
            Ok(())
        };
        match event {
            Event::Scalar(text, ScalarStyle::Plain, 0, None)
                if matches!(text.as_ref(), "" | "~" | "null" | "Null" | "NULL") =>
            {
                value(b'N', 0)?;
            }
            Event::Scalar(text, style, 0, None) => {
                let quoted = matches!(style, ScalarStyle::SingleQuoted | ScalarStyle::DoubleQuoted);
                value(b'T', usize::from(quoted))?;
                bytes.extend(u16::try_from(text.len())?.to_le_bytes());
                bytes.extend(text.as_bytes());
            }
            Event::SequenceStart(0, None) => value(b'L', 0)?,
            Event::MappingStart(0, None) => value(b'M', 0)?,
            Event::SequenceEnd | Event::MappingEnd => bytes.push(b'E'),
            Event::StreamStart | Event::StreamEnd | Event::DocumentStart(_) | Event::DocumentEnd => {}
            other => return Err(format!("shipped materials use no {other:?}").into()),
        }
    }
    Ok(bytes)
}
