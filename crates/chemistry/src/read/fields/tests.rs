use super::super::parse;
use super::*;

/// What is read of a map, or the code, line, column and width of what is wrong.
fn with<T>(
    text: &str,
    known: &[&str],
    read: impl Fn(&Source, &Fields<'_>) -> Result<T, Diagnostic>,
) -> Result<T, Wrong> {
    let source = Source::from_text("x.yaml", text);
    let root = parse(&source).unwrap_or_else(|why| panic!("{why:?}"));
    Fields::new(&source, &root, "a shelf", known)
        .and_then(|fields| read(&source, &fields))
        .map_err(|why| {
            let place = why.place.unwrap();
            Wrong {
                code: why.code,
                message: why.message,
                help: why.help.unwrap_or_else(|| "none".to_owned()),
                at: (place.mark.line, place.mark.column, place.width),
            }
        })
}

#[derive(Debug, PartialEq)]
struct Wrong {
    code: &'static str,
    message: String,
    help: String,
    at: (usize, usize, usize),
}

#[test]
fn numbers_keep_to_their_range_with_both_ends() {
    let number = |text: &str, least: f64, most: f64| {
        with(&format!("a: {text}"), &["a"], |_, fields| {
            let number = fields.number("a", NumberRange { least, most })?;
            Ok(number.map_or(f64::NAN, |number| number.value))
        })
        .map_err(|why| (why.code, why.message, why.help))
    };
    assert_eq!((number("0", 0.0, 10.0), number("10", 0.0, 10.0)), (Ok(0.0), Ok(10.0)));
    assert_eq!((number("2", 2.0, 10.0), number("-3", -3.0, 0.0)), (Ok(2.0), Ok(-3.0)));
    let refused = |text: &str, least: f64| number(text, least, 10.0).unwrap_err();
    assert_eq!(refused("-0.1", 0.0).1, "`a` can't be negative");
    assert_eq!(refused("1.9", 2.0).1, "`a` can't be below 2");
    assert_eq!(refused("-4", -3.0).2, "write a number from -3 to 10");
    assert_eq!(refused("10.1", 0.0).1, "`a` can't be above 10");
    assert_eq!(
        (refused("ten", 0.0).0, refused("[1]", 0.0).0),
        ("not-a-number", "wrong-type")
    );
    assert_eq!((NumberRange::PERCENT.most, NumberRange::AMOUNT.most), (100.0, 1e9));
}

#[test]
fn texts_stand_where_they_begin() {
    let text = |text: &str| {
        with(text, &["a"], |_, fields| fields.text("a")).map(|found| found.map(|found| (found.text, found.mark.column)))
    };
    assert_eq!(text("a: tin"), Ok(Some(("tin".to_owned(), 4))));
    // Behind the quotation mark and its blanks.
    assert_eq!(text("a: \"  tin \""), Ok(Some(("tin".to_owned(), 7))));
    assert_eq!(
        text("a: \"  tin\\n ash\"").map(|found| found.map(|found| found.1)),
        Ok(Some(5))
    );
    for (wrong, kind) in [
        ("a: [x]", "a list"),
        ("a: {b: 1}", "a map"),
        ("a:", "empty"),
        ("a: ' '", "empty"),
    ] {
        let why = text(wrong).unwrap_err();
        assert_eq!(
            (why.code, why.message),
            ("wrong-type", format!("`a` should be text, this is {kind}"))
        );
    }
    let texts = |text: &str| {
        with(text, &["a", "b"], |_, fields| fields.texts("a"))
            .map(|found| found.into_iter().map(|text| text.text).collect::<Vec<_>>())
    };
    assert_eq!(texts("b: 1"), Ok(Vec::new()));
    assert_eq!(texts("a: x"), Ok(vec!["x".to_owned()]));
    assert_eq!(texts("a: [x, y]"), Ok(vec!["x".to_owned(), "y".to_owned()]));
    assert!(texts("a: [x, [y]]").is_err());
}

#[test]
fn yes_and_no_are_said_in_four_words() {
    let yes = |text: &str| with(text, &["a", "b"], |_, fields| fields.yes("a"));
    assert_eq!(
        (yes("a: true"), yes("a: yes"), yes("a: false"), yes("a: no")),
        (Ok(true), Ok(true), Ok(false), Ok(false))
    );
    assert_eq!(yes("b: 1"), Ok(false));
    let why = yes("a: maybe").unwrap_err();
    assert_eq!((why.code, why.at), ("wrong-type", (1, 4, 5)));
}

#[test]
fn a_key_is_known_and_stands_once() {
    let map = |text: &str, known: &[&str]| with(text, known, |_, _| Ok(()));
    let slip = map("stock: 1\nprise: 2", &["stock", "price"]).unwrap_err();
    assert_eq!(
        (slip.code, slip.at, slip.help.as_str()),
        ("unknown-key", (2, 1, 5), "did you mean `price`?")
    );
    // Where nothing is near, what there is.
    let many: Vec<String> = (0..20).map(|number| format!("key{number}")).collect();
    let many: Vec<&str> = many.iter().map(String::as_str).collect();
    assert!(
        map("zzz: 1", &many)
            .unwrap_err()
            .help
            .starts_with("it may have: key0, key1")
    );
    let twice = map("a: 1\nb: 2\na: 3", &["a", "b"]).unwrap_err();
    assert_eq!((twice.code, twice.at), ("duplicate-key", (3, 1, 1)));
    assert_eq!(twice.message, "`a` is given twice (first on line 1)");
    assert_eq!(
        map("- a", &["a"]).unwrap_err().message,
        "a shelf should be a map of `name: value`, this is a list"
    );
    assert_eq!(
        with("b: 1", &["a", "b"], |_, fields| fields
            .required("a", "it", "help")
            .map(|_| ()))
        .unwrap_err()
        .code,
        "missing-key"
    );
}

#[test]
fn a_long_map_finds_its_repeats_too() {
    for count in [23, 24, 25, 40] {
        let lines: String = (0..count).map(|number| format!("k{number}: 1\n")).collect();
        let source = Source::from_text("x.yaml", &format!("{lines}k1: 2\n"));
        let root = parse(&source).unwrap();
        let why = entries(&source, &root, "`parts`").unwrap_err();
        assert_eq!(why.message, "`k1` is given twice (first on line 2)", "{count}");
        let source = Source::from_text("x.yaml", &lines);
        assert_eq!(
            entries(&source, &parse(&source).unwrap(), "`parts`").map(<[_]>::len),
            Ok(count)
        );
    }
}

#[test]
fn a_decimal_comma_between_brackets_is_told_as_such() {
    let read = |text: &str| {
        let source = Source::from_text("x.yaml", text);
        let root = parse(&source).unwrap();
        entries(&source, &root, "`parts`")
            .map(<[_]>::len)
            .map_err(|why| (why.code, why.help))
    };
    let help = Some("write silica: 12.5".to_owned());
    assert_eq!(read("{ silica: 12,5 }"), Err(("decimal-comma", help)));
    assert_eq!(read("{ silica: 12, tin: 5 }"), Ok(2));
    // A number alone, or an empty name, is something else.
    assert_eq!(read("{ 5, silica: 12 }"), Ok(2));
    assert_eq!(read("{ silica: 12, tin }"), Ok(2));
    assert_eq!(read("{ silica: [1], 5 }"), Ok(2));
    assert_eq!(read("{ silica: 12, 5: 3 }"), Ok(2));
}
