//! SHA-256 of bytes, as the record prints it: 64 lower-case hex digits.

use std::fmt;

use sha2::{Digest as _, Sha256};

/// A SHA-256 digest. `Display` gives 64 lower-case hex digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Digest([u8; 32]);

impl Digest {
    /// What stands for "the entry before" in entry 0: 64 zeros.
    pub const NOTHING: Self = Self([0; 32]);

    /// The digest of `bytes`.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    /// Reads 64 lower-case hex digits and nothing else.
    pub fn from_hex(text: &[u8]) -> Option<Self> {
        let (pairs, rest) = text.as_chunks::<2>();
        if pairs.len() != 32 || !rest.is_empty() {
            return None;
        }
        let mut bytes = [0; 32];
        for (byte, [high, low]) in bytes.iter_mut().zip(pairs) {
            *byte = nibble(*high)? << 4 | nibble(*low)?;
        }
        Some(Self(bytes))
    }
}

fn nibble(letter: u8) -> Option<u8> {
    match letter {
        b'0'..=b'9' => Some(letter - b'0'),
        b'a'..=b'f' => Some(letter - b'a' + 10),
        _ => None,
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{self}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_the_published_vector_for_abc() {
        // Source: FIPS 180-2 (2002), appendix B.1, one-block message "abc".
        assert_eq!(
            Digest::of(b"abc").to_string(),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }

    #[test]
    fn reads_back_what_it_shows_and_nothing_else() {
        let text = Digest::of(b"x").to_string();
        assert_eq!(Digest::from_hex(text.as_bytes()), Some(Digest::of(b"x")));
        assert_eq!(Digest::from_hex(text.to_uppercase().as_bytes()), None);
        assert_eq!(Digest::from_hex(&text.as_bytes()[1..]), None);
        assert_eq!(Digest::from_hex(format!("{text}0").as_bytes()), None);
    }
}
