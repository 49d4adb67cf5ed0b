//! A form as a browser sends it: `application/x-www-form-urlencoded`.

/// Names and values, in order.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Form(Vec<(String, String)>);

impl Form {
    /// Reads a body or a query; `None` where it is no text.
    pub(crate) fn read(text: &str) -> Option<Form> {
        let pair = |pair: &str| {
            let (name, value) = pair.split_once('=').unwrap_or((pair, ""));
            Some((decoded(name)?, decoded(value)?))
        };
        let pairs = text.split('&').filter(|pair| !pair.is_empty());
        pairs.map(pair).collect::<Option<_>>().map(Form)
    }

    pub(crate) fn of(pairs: Vec<(String, String)>) -> Form {
        Form(pairs)
    }

    /// A form with nothing in it.
    pub(crate) fn nothing() -> Form {
        Form(Vec::new())
    }

    /// The first value of a name that says something.
    pub(crate) fn text<'a>(&'a self, name: &'a str) -> Option<&'a str> {
        self.all(name).map(str::trim).find(|value| !value.is_empty())
    }

    /// All values of a name.
    pub(crate) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a str> {
        self.0
            .iter()
            .filter(move |pair| pair.0 == name)
            .map(|pair| pair.1.as_str())
    }

    /// All names with their values.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.0.iter().map(|(name, value)| (name.as_str(), value.as_str()))
    }
}

/// `%41` and `+` as what they stand for; a line's end as one sign.
fn decoded(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut signs = text.bytes();
    while let Some(sign) = signs.next() {
        bytes.push(match sign {
            b'+' => b' ',
            b'%' => {
                let digit = |byte: Option<u8>| char::from(byte?).to_digit(16);
                let (high, low) = (digit(signs.next())?, digit(signs.next())?);
                u8::try_from(high * 16 + low).ok()?
            }
            other => other,
        });
    }
    String::from_utf8(bytes).ok().map(|text| text.replace("\r\n", "\n"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_form_is_read_as_it_was_filled_in() {
        let form = Form::read("glaze=Lamplight+clear&dry=5%20kg&out=a&out=b&text=&text=r%C3%A5%0D%0Ab").unwrap();
        assert_eq!(form.text("glaze"), Some("Lamplight clear"));
        assert_eq!(form.text("dry"), Some("5 kg"));
        assert_eq!(form.all("out").collect::<Vec<_>>(), ["a", "b"]);
        assert_eq!(form.text("text"), Some("rå\nb"));
        assert_eq!(form.text("none"), None);
        for broken in ["a=%", "a=%4", "a=%zz", "a=%ff"] {
            assert_eq!(Form::read(broken), None, "{broken}");
        }
    }
}
