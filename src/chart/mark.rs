//! Text made safe for pages and pictures written in angle brackets (P9).
//!
//! Must not know what is written where.

use crate::finding::escape;

/// A text as it may stand between tags and in quoted attributes.
pub(super) fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in escape(text).chars() {
        match c {
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '&' => out.push_str("&amp;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Not allowed in such documents at all.
            '\u{fffe}' | '\u{ffff}' => out.push('?'),
            c => out.push(c),
        }
    }
    out
}

/// A text within double quotes of the graph language.
pub(super) fn quoted(text: &str) -> String {
    let mut out = String::from("\"");
    for c in escape(text).chars() {
        match c {
            '"' | '\\' => {
                out.push('\\');
                out.push(c);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_tag_and_no_entity_comes_through() {
        assert_eq!(
            safe("<b a='1'>&\"\u{1b}"),
            "&lt;b a=&#39;1&#39;&gt;&amp;&quot;\\u{1b}"
        );
    }

    #[test]
    fn a_quoted_text_ends_where_it_should() {
        assert_eq!(quoted("say \"go\" \\n"), "\"say \\\"go\\\" \\\\n\"");
    }
}
