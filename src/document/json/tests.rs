//! The scanner against an oracle, and what it finds on its own.

use super::*;
use proptest::prelude::*;

/// Codes where this scanner is stricter than the oracle on purpose.
const STRICTER: [Code; 5] = [
    BYTE_ORDER_MARK,
    DUPLICATE_KEY,
    TOO_DEEP,
    TOO_LARGE,
    CONTROL_CHARACTER,
];

fn codes(bytes: &[u8]) -> Vec<Code> {
    scan(bytes).1.into_iter().map(|f| f.code).collect()
}

/// The tree as the oracle would build it.
fn plain(node: &Node) -> serde_json::Value {
    match &node.value {
        Json::Null => serde_json::Value::Null,
        Json::Bool(b) => (*b).into(),
        Json::Number(n) => n.parse::<serde_json::Number>().unwrap().into(),
        Json::String(s) => s.as_str().into(),
        Json::List(items) => items.iter().map(plain).collect(),
        Json::Object(members) => members
            .iter()
            .map(|m| (m.key.clone(), plain(&m.node)))
            .collect::<serde_json::Map<_, _>>()
            .into(),
    }
}

fn agrees_with_the_oracle(bytes: &[u8]) {
    let oracle = serde_json::from_slice::<serde_json::Value>(bytes);
    let (root, findings) = scan(bytes);
    if findings.is_empty() {
        let root = root.expect("a tree when nothing is wrong");
        assert_eq!(plain(&root), oracle.expect("the oracle takes what we take"));
    } else if findings.iter().any(|f| !STRICTER.contains(&f.code)) {
        assert!(oracle.is_err(), "the oracle takes {bytes:?}: {findings:?}");
    }
}

#[test]
fn every_value_knows_where_it_stands() {
    let text = r#" {"a": [1, "x"]} "#;
    let (root, findings) = scan(text.as_bytes());
    assert_eq!(findings, []);
    let root = root.unwrap();
    assert_eq!(&text[root.span.0..root.span.1], r#"{"a": [1, "x"]}"#);
    let Json::Object(members) = &root.value else {
        panic!("an object")
    };
    let (from, to) = members[0].key_span;
    assert_eq!(&text[from..to], "\"a\"");
    let (from, to) = members[0].node.span;
    assert_eq!(&text[from..to], "[1, \"x\"]");
}

#[test]
fn reads_past_what_it_can_and_finds_it_all() {
    let text = "{\"a\": 01, \"b\": \"x\u{7}\", \"a\": +1}";
    assert_eq!(
        codes(text.as_bytes()),
        [BAD_NUMBER, CONTROL_CHARACTER, BAD_NUMBER, DUPLICATE_KEY]
    );
}

#[test]
fn thirty_two_levels_are_read_and_no_more() {
    let nest = |n: usize| format!("{}{}", "[".repeat(n), "]".repeat(n));
    assert_eq!(codes(nest(32).as_bytes()), []);
    assert_eq!(codes(nest(33).as_bytes()), [TOO_DEEP]);
    assert_eq!(codes("[".repeat(3_000_000).as_bytes()), [TOO_DEEP]);
    assert_eq!(codes("{\"a\":".repeat(500_000).as_bytes()), [TOO_DEEP]);
}

#[test]
fn four_mebibytes_are_read_and_no_more() {
    let fill = |n: usize| format!("\"{}\"", "x".repeat(n - 2));
    assert_eq!(codes(fill(LARGEST).as_bytes()), []);
    assert_eq!(codes(fill(LARGEST + 1).as_bytes()), [TOO_LARGE]);
}

#[test]
fn odd_numbers_are_refused_as_the_rfc_does() {
    for text in [
        "0", "-0", "1", "-12", "1.5", "1e3", "1E+3", "1e-3", "0.0", "01", "-01", "+1", ".5", "1.",
        "1.e3", "1e", "1e+", "--1", "1e999", "-", "1-2", "NaN", "Infinity", "0x10", "1_000",
        "1e-999",
    ] {
        agrees_with_the_oracle(text.as_bytes());
    }
}

#[test]
fn strings_are_read_as_the_rfc_does() {
    for text in [
        r#""a\n\t\"\\\/\b\f\r""#,
        r#""é""#,
        r#""\uD834\uDD1E""#,
        r#""\uD834""#,
        r#""\uDD1E""#,
        r#""\uD834A""#,
        r#""\u12""#,
        r#""\x""#,
        "\"open",
        "\"two\nlines\"",
        "\"\u{7f}\u{85}\"",
        "'single'",
    ] {
        agrees_with_the_oracle(text.as_bytes());
    }
}

/// Text that is nearly JSON: the pieces of it in any order.
fn nearly_json() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("{"),
        Just("}"),
        Just("["),
        Just("]"),
        Just(","),
        Just(":"),
        Just("\""),
        Just("\"a\""),
        Just("\"b\":"),
        Just("1"),
        Just("-"),
        Just("0.5"),
        Just("e3"),
        Just("true"),
        Just("null"),
        Just(" "),
        Just("\n"),
        Just("\\"),
        Just("\\u00e9"),
        Just("\u{feff}"),
        Just("é"),
    ];
    proptest::collection::vec(piece, 0..24).prop_map(|p| p.concat())
}

/// Any value, as the oracle writes it.
fn any_json() -> impl Strategy<Value = serde_json::Value> {
    let leaf = prop_oneof![
        Just(serde_json::Value::Null),
        any::<bool>().prop_map(Into::into),
        any::<i64>().prop_map(Into::into),
        any::<f64>().prop_map(Into::into),
        any::<String>().prop_map(Into::into),
    ];
    leaf.prop_recursive(5, 40, 6, |inner| {
        prop_oneof![
            proptest::collection::vec(inner.clone(), 0..6).prop_map(Into::into),
            proptest::collection::btree_map(any::<String>(), inner, 0..6)
                .prop_map(|m| m.into_iter().collect::<serde_json::Map<_, _>>().into()),
        ]
    })
}

proptest! {
    #[test]
    fn never_panics_on_any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        agrees_with_the_oracle(&bytes);
    }

    #[test]
    fn never_panics_on_nearly_json(text in nearly_json()) {
        agrees_with_the_oracle(text.as_bytes());
    }

    #[test]
    fn takes_what_the_oracle_writes(value in any_json(), pretty in any::<bool>()) {
        let text = if pretty { serde_json::to_string_pretty(&value) } else { serde_json::to_string(&value) }.unwrap();
        let (root, findings) = scan(text.as_bytes());
        // DEL and C1 controls stand in strings unescaped; they are refused here on purpose.
        prop_assert!(findings.iter().all(|f| f.code == CONTROL_CHARACTER), "{findings:?}");
        agrees_with_the_oracle(text.as_bytes());
        prop_assert!(root.is_some());
    }
}
