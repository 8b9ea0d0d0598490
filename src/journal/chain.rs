//! The last member of every line: SHA-256 over the line's own bytes before it.
//!
//! The digest is taken over bytes as they stand, so no rule for canonical
//! JSON is needed, and a line of any later format can still be checked.

use super::Digest;

const BEFORE_HASH: &str = ",\"h\":\"";
const AFTER_HASH: &str = "\"}";
const HASH_LEN: usize = 64;

/// Closes a line: `body` is the line from `{` to the end of `prev`.
pub(super) fn seal(mut body: String) -> (String, Digest) {
    let hash = Digest::of(body.as_bytes());
    body.push_str(BEFORE_HASH);
    body.push_str(&hash.to_string());
    body.push_str(AFTER_HASH);
    (body, hash)
}

/// How a line (without its newline) stands to the hash it carries.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Seal<'a> {
    /// The line does not end in a hash at all.
    Absent,
    /// The line's bytes do not give the hash that it carries.
    Broken { carried: Digest, found: Digest },
    /// The line is as it was written.
    Whole { body: &'a [u8], hash: Digest },
}

/// Checks a line against the hash at its end.
pub(super) fn check(line: &[u8]) -> Seal<'_> {
    let Some((body, carried)) = split(line) else {
        return Seal::Absent;
    };
    let found = Digest::of(body);
    if found == carried {
        Seal::Whole { body, hash: found }
    } else {
        Seal::Broken { carried, found }
    }
}

fn split(line: &[u8]) -> Option<(&[u8], Digest)> {
    let rest = line.strip_suffix(AFTER_HASH.as_bytes())?;
    let (rest, hex) = rest.split_at_checked(rest.len().checked_sub(HASH_LEN)?)?;
    Some((
        rest.strip_suffix(BEFORE_HASH.as_bytes())?,
        Digest::from_hex(hex)?,
    ))
}

/// Every length at which a line that `bytes` begin with could end.
pub(super) fn ends(bytes: &[u8]) -> impl Iterator<Item = usize> {
    let starts = |(_, part): &(usize, &[u8])| *part == BEFORE_HASH.as_bytes();
    bytes
        .windows(BEFORE_HASH.len())
        .enumerate()
        .filter(starts)
        .map(|(at, _)| at + BEFORE_HASH.len() + HASH_LEN + AFTER_HASH.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_its_own_seal_whole_and_any_other_broken_or_absent() {
        let (line, hash) = seal("{\"v\":1".to_owned());
        assert_eq!(
            check(line.as_bytes()),
            Seal::Whole {
                body: b"{\"v\":1",
                hash
            }
        );
        let altered = line.replace("\"v\":1", "\"v\":2");
        assert!(
            matches!(check(altered.as_bytes()), Seal::Broken { carried, .. } if carried == hash)
        );
        assert_eq!(check(&line.as_bytes()[..line.len() - 1]), Seal::Absent);
        assert_eq!(check(b"\"}"), Seal::Absent);
        assert_eq!(check(b""), Seal::Absent);
    }
}
