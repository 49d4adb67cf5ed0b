use super::*;

const ORDER: [&str; 6] = ["name", "kind", "price", "stock", "lot", "source"];
const FILE: &str = "\
# what we have\r
materials:\r
  - name: silica   # not the sand\r
    kind: mineral\r
    source: \"the bag's \\\"label\\\"\"   # May\r
\r
  # by the door\r
  - { name: 'Kaolin', stock: \"2 lb 3 oz\", source: x } # 12 kg\r
  - name: whiting
    source: x
    lot:   # the bag says
    stock: '5 kg'";

fn set(index: usize, key: &str, text: &str) -> Result<String, &'static str> {
    set_in(FILE, index, key, text)
}

fn set_in(file: &str, index: usize, key: &str, text: &str) -> Result<String, &'static str> {
    let new = NewValue {
        path: &[Step::Item("materials".to_owned(), index)],
        key,
        text,
        order: &ORDER,
        bare: false,
    };
    let source = Source::from_text("m.yaml", file);
    edited(&source, &new).map(|edited| edited.text).map_err(|why| why.code)
}

#[test]
fn a_value_changes_and_no_other_byte() {
    for (index, key, text, old, new) in [
        (0, "kind", "clay", "kind: mineral", "kind: clay"),
        (
            0,
            "source",
            "her \"own\" \\",
            "the bag's \\\"label\\\"",
            "her \\\"own\\\" \\\\",
        ),
        (1, "stock", "1 kg", "2 lb 3 oz", "1 kg"),
        (1, "name", "It's", "'Kaolin'", "'It''s'"),
        (2, "stock", "4.5 kg", "'5 kg'", "'4.5 kg'"),
        (2, "lot", "04", "lot:   # the", "lot: \"04\"   # the"),
    ] {
        assert_eq!(set(index, key, text), Ok(FILE.replacen(old, new, 1)), "{key}");
    }
}

#[test]
fn a_missing_key_goes_to_its_place_at_the_right_indent() {
    let after = |old: &str, new: &str| Ok(FILE.replacen(old, &format!("{old}{new}"), 1));
    assert_eq!(
        set(0, "price", "2 EUR/kg"),
        after("kind: mineral", "\r\n    price: 2 EUR/kg")
    );
    assert_eq!(set(1, "price", "2 EUR/kg"), after("source: x", ", price: 2 EUR/kg"));
    assert_eq!(set(2, "kind", "mineral"), after("name: whiting", "\n    kind: mineral"));
    let root = NewValue {
        path: &[],
        key: "units",
        text: "wt %",
        order: &["units"],
        bare: false,
    };
    let text = edited(&Source::from_text("m.yaml", FILE), &root).map(|edited| edited.text);
    assert_eq!(text, Ok(format!("{FILE}\r\nunits: wt %")));
}

#[test]
fn a_key_goes_behind_a_list_or_a_text_of_several_lines() {
    let file = "materials:\n  - name: a\n    hazards:\n    - dust\n    - heat\n    # about the price\n    lot: 3\n";
    let order = ["name", "hazards", "price", "lot"];
    let new = |key, text| NewValue {
        path: &[],
        key,
        text,
        order: &order,
        bare: false,
    };
    let source = Source::from_text("g.yaml", "name: a\nnotes: |\n  # one\n\n  two\n\n# end\n");
    assert_eq!(
        edited(
            &source,
            &NewValue {
                order: &["name", "notes", "cone"],
                ..new("cone", "6")
            }
        )
        .map(|edited| edited.text),
        Ok("name: a\nnotes: |\n  # one\n\n  two\ncone: 6\n\n# end\n".to_owned())
    );
    let nested = NewValue {
        path: &[Step::Key("additions".to_owned())],
        key: "tin oxide",
        text: "4",
        order: &["name", "additions", "notes"],
        bare: false,
    };
    assert_eq!(
        edited(&source, &nested).map(|edited| edited.text),
        Ok("name: a\nadditions: { tin oxide: 4 }\nnotes: |\n  # one\n\n  two\n\n# end\n".to_owned())
    );
    let item = set_in(file, 0, "stock", "1 kg");
    assert!(item.is_ok(), "{item:?}");
}

#[test]
fn a_line_that_waits_behind_its_sign_is_taken() {
    let file = "materials:\r\n  - name: a\r\n    source: x\r\n    #lot: \"4\"   # from the bag\r\n    # price: 18 EUR per 5 kg\r\n  - name: b\r\n    source: x\r\n";
    let lot = file.replace("#lot: \"4\"   #", "lot: 7   #");
    assert_eq!(set_in(file, 0, "lot", "7"), Ok(lot));
    let price = file.replace("# price: 18 EUR per 5 kg", "price: 2 EUR/kg");
    assert_eq!(set_in(file, 0, "price", "2 EUR/kg"), Ok(price));
    let other = file.replace("- name: b\r\n", "- name: b\r\n    lot: 7\r\n");
    assert_eq!(set_in(file, 1, "lot", "7"), Ok(other));
}

#[test]
fn what_cannot_be_changed_safely_is_refused() {
    for (file, key) in [
        (
            "materials:\n  - { name: a, stock: &all 12 kg }\n  - { name: b, stock: *all }\n",
            "stock",
        ),
        ("materials:\n  - { name: a, hazards: [dust] }\n", "hazards"),
        ("materials:\n  - { name: a, hazards: [dust] }\n", "stock"),
        ("materials:\n  - name: a\n    stock: 12\n      kg\n", "stock"),
        ("materials:\n  - name: a\n    stock: \"12\\x20kg\"\n", "stock"),
        ("materials:\n  - name: a\n    stock: \"\\ 釉釉\"\n", "stock"),
        ("materials:\n  - &a\n    name: a\n  - *a\n", "stock"),
    ] {
        assert_eq!(set_in(file, 0, key, "9 kg"), Err("not-in-place"), "{file}");
    }
}

#[test]
fn whatever_the_text_it_reads_back_as_typed() {
    for text in [
        "a: b", "- a", "#1", "\"", "'", "{x}", "a # b", "null", "1.5", "04", "true", "a, b", "釉", "@x", "=1+1",
        "12 kg",
    ] {
        for (index, key) in [(0, "kind"), (0, "lot"), (1, "stock"), (1, "lot"), (2, "stock")] {
            let changed = set(index, key, text).unwrap_or_else(|why| panic!("{why}: {text}"));
            let read = parse(&Source::from_text("m", &changed)).unwrap_or_else(|why| panic!("{why:?}"));
            let map = map_at(&read, &[Step::Item("materials".to_owned(), index)]);
            let value = map.and_then(|map| child(map, key)).map(|node| &node.value);
            assert!(
                matches!(value, Some(Value::Text(read)) if read == text),
                "{text}: {value:?}"
            );
        }
    }
}

#[test]
fn line_ends_stay_what_they_are_around() {
    let near = |text: &str, at: usize| ending_near(&Source::from_text("m.yaml", text), at);
    for (text, end) in [
        ("a: 1\nb: 2", "\n"),
        ("a: 1\r\nb: 2", "\r\n"),
        ("a: 1\rb: 2", "\r"),
        ("a: 1", "\n"),
    ] {
        assert_eq!(near(text, 0), end, "{text:?}");
        // On the last line, which has no end, that of the others counts.
        assert_eq!(near(text, text.len()), end, "{text:?}");
    }
    assert_eq!(near("a: 1\rb: 2\r\nc: 3\n", 5), "\r\n");
    let added = |file: &str| set_in(file, 0, "kind", "clay");
    assert_eq!(
        added("materials:\r  - name: a\r    source: x\r"),
        Ok("materials:\r  - name: a\r    kind: clay\r    source: x\r".to_owned())
    );
    assert_eq!(
        added("materials:\n  - name: a"),
        Ok("materials:\n  - name: a\n    kind: clay".to_owned())
    );
}

#[test]
fn the_last_line_of_an_entry_leaves_comments_to_what_follows() {
    let last = |text: &str, line: usize, column: usize, next| {
        last_line_of(&Source::from_text("m.yaml", text), Mark { line, column }, next)
    };
    let text = "a:\n  - x\n\n  # on b\nb: 1\nc: [\n  1\n]\nd:\n- y\n- z\n# end\n";
    assert_eq!(last(text, 1, 1, Some(5)), 2);
    assert_eq!(last(text, 5, 1, Some(6)), 5);
    assert_eq!(last(text, 6, 1, Some(9)), 8);
    // A list as deep as its key belongs to it; a comment behind it doesn't.
    assert_eq!(last(text, 9, 1, None), 11);
    assert_eq!(line_end(&Source::from_text("m", "ab\r\ncde"), 2), Some(7));
    assert!(closes("  }", false) && closes("]", false) && closes("- x", true) && closes("-", true));
    assert!(!closes("- x", false) && !closes("-x", true));
}

#[test]
fn a_text_is_quoted_only_where_another_reader_would_take_it_for_something_else() {
    for plain in ["tin oxide", "0", "0.5", "1e", "a:b", "a#b", "it's", "Yes please", "x]"] {
        assert!(is_plain(plain), "{plain}");
    }
    for odd in [
        "",
        " a",
        "a ",
        "- a",
        "?",
        "#a",
        "a: b",
        "a:",
        "a #b",
        "say \"x\"",
        "yes",
        "NO",
        "Null",
        "~",
        "y",
        "inf",
        "04",
        "007",
        "a\tb",
        "=1",
        "<3",
        ".5",
    ] {
        assert!(!is_plain(odd), "{odd}");
    }
    assert_eq!(plain_or_quoted("a, b"), "\"a, b\"");
    assert_eq!(
        (plain_or_quoted("[x"), plain_or_quoted("x")),
        ("\"[x\"".to_owned(), "x".to_owned())
    );
    assert_eq!(escaped("it's", Some('\'')), "it''s");
    assert_eq!(escaped("a\"\\", Some('"')), "a\\\"\\\\");
}

#[test]
fn what_changed_is_told_with_its_line_and_what_stood_there() {
    let told = |index, key, text| {
        let new = NewValue {
            path: &[Step::Item("materials".to_owned(), index)],
            key,
            text,
            order: &ORDER,
            bare: false,
        };
        edited(&Source::from_text("m.yaml", FILE), &new)
            .map(|edited| (edited.before, edited.line))
            .map_err(|why| why.code)
    };
    assert_eq!(told(0, "kind", "clay"), Ok((Some("mineral".to_owned()), 4)));
    assert_eq!(told(0, "price", "2 EUR/kg"), Ok((None, 5)));
    assert_eq!(told(1, "stock", "1 kg"), Ok((Some("2 lb 3 oz".to_owned()), 8)));
    assert_eq!(told(2, "lot", "K7"), Ok((None, 11)));
    assert_eq!(told(9, "lot", "K7"), Err("not-in-place"));
}

#[test]
fn trees_are_alike_where_they_say_the_same() {
    let same = |one: &str, other: &str| {
        let read = |text: &str| parse(&Source::from_text("m", text)).unwrap();
        alike(&read(one), &read(other))
    };
    assert!(same("{ a: 1, b: [x, y] }", "b:\n- x\n- y\na: '1'"));
    assert!(same("a:", "a: ~"));
    for (one, other) in [
        ("a: 1", "a: 2"),
        ("a: 1", "b: 1"),
        ("a: [x]", "a: [x, y]"),
        ("a: [x, y]", "a: [y, x]"),
        ("a: 1", "{ a: 1, b: 2 }"),
        ("a:", "a: ''"),
        ("a: [x]", "a: x"),
        ("{ a: 1, a: 1 }", "{ a: 1, a: 1 }"),
        ("{ a: 1, b: 1 }", "{ a: 1, a: 1 }"),
    ] {
        assert!(!same(one, other), "{one} and {other}");
    }
}
