//! Names of things in documents: checked when made, cheap to copy.

use std::fmt;
use std::sync::Arc;

/// A name that does not fit the pattern of ids.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct IdError {
    /// What was written.
    pub found: String,
}

impl fmt::Display for IdError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} can't be a name here; use 1 to 48 small letters, figures and single underscores, a letter first",
            self.found
        )
    }
}

impl std::error::Error for IdError {}

/// Whether `text` may be written as an id: `[a-z][a-z0-9_]{0,47}` without a
/// double underscore, which is kept for steps that come out of a fragment.
pub fn is_plain_id(text: &str) -> bool {
    text.len() <= 48
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && text
            .chars()
            .all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
        && !text.contains("__")
}

/// Whether `text` may name a step after fragments are expanded: one plain id, or
/// two joined by a double underscore (97 characters at most would be 98 with both
/// halves full; the halves together are held to 97).
fn is_step_id(text: &str) -> bool {
    match text.split_once("__") {
        Some((place, inner)) => text.len() <= 97 && is_plain_id(place) && is_plain_id(inner),
        None => is_plain_id(text),
    }
}

macro_rules! id {
    ($(#[$doc:meta])* $name:ident, $accepts:path) => {
        $(#[$doc])*
        #[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(Arc<str>);

        impl $name {
            /// Makes the id.
            ///
            /// # Errors
            /// When `text` does not fit the pattern of ids.
            pub fn new(text: &str) -> Result<Self, IdError> {
                if $accepts(text) {
                    Ok(Self(Arc::from(text)))
                } else {
                    Err(IdError { found: text.to_owned() })
                }
            }

            /// The id as written.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        impl fmt::Debug for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

id!(
    /// Names a procedure.
    ProcedureId, is_plain_id);
id!(
    /// Names a sheet.
    SheetId, is_plain_id);
id!(
    /// Names one value of a sheet.
    SheetKey, is_plain_id);
id!(
    /// Names a step; out of a fragment it is `place__step`.
    StepId, is_step_id);
id!(
    /// Names a phase.
    PhaseId, is_plain_id);
id!(
    /// Names a condition.
    ConditionId, is_plain_id);
id!(
    /// Names a duty.
    DutyId, is_plain_id);
id!(
    /// Names a reading or a working; the two share one set of names.
    ValueId, is_plain_id);
id!(
    /// Names a setting of the vehicle.
    SettingId, is_plain_id);
id!(
    /// Names a hazard.
    HazardId, is_plain_id);
id!(
    /// Names an act.
    ActId, is_plain_id);
id!(
    /// Names a tick within its step.
    TickId, is_plain_id);
id!(
    /// Names a choice within its look.
    ChoiceId, is_plain_id);
id!(
    /// Names what an instrument is used for ("gauge, left").
    RoleId, is_plain_id);
id!(
    /// Names one instrument of the shop.
    InstrumentId, is_plain_id);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn takes_small_letters_figures_and_single_underscores_only() {
        for good in ["a", "lower_onto_blocks", "b2", &"a".repeat(48)] {
            assert!(ValueId::new(good).is_ok(), "{good}");
        }
        for bad in [
            "",
            "A",
            "2a",
            "_a",
            "a-b",
            "a__b",
            "ä",
            "a b",
            "../x",
            &"a".repeat(49),
        ] {
            assert!(ValueId::new(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_step_may_come_out_of_a_fragment() {
        assert!(StepId::new("raise_for_blocks__gate").is_ok());
        assert!(StepId::new("a__b__c").is_err());
        assert!(StepId::new("__b").is_err());
        assert!(StepId::new("a__").is_err());
    }
}
