//! The plain tables of `crates/chemistry/data/`: comma separated, `#` for remarks, one header line.

/// The lines that hold data.
pub(super) fn data_lines(text: &'static str, header: &'static str) -> impl Iterator<Item = &'static str> {
    text.lines()
        .map(str::trim_end)
        .filter(move |line| !line.is_empty() && !line.starts_with('#') && *line != header)
}
