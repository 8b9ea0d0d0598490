//! Colours, and none.

use super::shop::Shop;
use super::terminal::{Start, Terminal};

/// The parameters of every "select graphic rendition" that sets a colour.
fn colours(t: &Terminal) -> Vec<String> {
    let bytes = String::from_utf8_lossy(&t.bytes()).into_owned();
    bytes
        .split("\x1b[")
        .skip(1)
        .filter_map(|part| {
            let end = part.find(|c: char| !c.is_ascii_digit() && c != ';' && c != ':')?;
            part[end..].starts_with('m').then(|| part[..end].to_owned())
        })
        .filter(|codes| {
            codes.split([';', ':']).any(|code| {
                let code: u16 = code.parse().unwrap_or(0);
                matches!(code, 30..=38 | 40..=48 | 90..=97 | 100..=107)
            })
        })
        .collect()
}

/// As far as the step with its danger sign.
fn walk(t: &Terminal) {
    t.open_small_job();
    t.go_to_gate();
    t.send("c");
    t.take_turns();
    t.wait("RAISE THE FRAME");
    t.wait("DANGER");
}

#[test]
fn no_colour_is_sent_to_who_wants_none() {
    let shop = Shop::small();
    let t = Start::new(shop.path()).env("NO_COLOR", "1").go();
    walk(&t);
    assert_eq!(colours(&t), Vec::<String>::new());
    let shop = Shop::small();
    let t = Start::new(shop.path()).go();
    walk(&t);
    assert_ne!(colours(&t), Vec::<String>::new());
}
