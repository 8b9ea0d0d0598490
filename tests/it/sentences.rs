//! Every sentence of the families of errors in one page, to be read aloud.
//!
//! The page is `tests/told/sentences.snap`. A variant that is missing from it is
//! found by holding the examples against the source.

#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::panic,
    clippy::too_many_lines,
    reason = "lists of examples; tests read files"
)]

mod drill;
mod sum;

use std::collections::BTreeSet;
use std::fmt::{Debug, Display, Write as _};
use std::path::PathBuf;
use std::time::Duration;

use levelhand::document::CODES;
use levelhand::hold::{Cause, Slip};
use levelhand::input::{Key, Modifiers};
use levelhand::job::{Event, Person, Refusal};
use levelhand::journal::{
    self, Damage, Difference, Digest, Disagreement, Failure, Fault, Holder, JobId, MAX_LINE,
    NotUnderstood, Part,
};
use levelhand::procedure::{InstrumentId, StepId};
use levelhand::quantity::{
    Day, Kind, KindError, Misread, NotAQuantity, NotAnInstrument, Problem, Unit, read, read_literal,
};
use levelhand::record::{Flaw, Seal};
use levelhand::rehearsal;

/// One chapter: a family, and its examples.
struct Chapter {
    title: &'static str,
    /// The variant's name and the sentence.
    lines: Vec<(String, String)>,
}

impl Chapter {
    fn new<E: Debug + Display>(title: &'static str, examples: &[E]) -> Self {
        let lines = examples.iter().map(|e| (variant(e), e.to_string()));
        Self {
            title,
            lines: lines.collect(),
        }
    }
}

/// The name of an example's variant, out of what derives from its source.
fn variant(example: &impl Debug) -> String {
    let text = format!("{example:?}");
    let end = text.find(|c: char| !c.is_alphanumeric());
    end.map_or(text.as_str(), |end| &text[..end]).to_owned()
}

/// The names of an enum's variants, read from its file.
fn variants(file: &str, name: &str) -> BTreeSet<String> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let source = syn::parse_file(&std::fs::read_to_string(path).unwrap()).unwrap();
    let found = source.items.iter().find_map(|item| match item {
        syn::Item::Enum(item) if item.ident == name => Some(item),
        _ => None,
    });
    let found = found.unwrap_or_else(|| panic!("{file} has no {name}"));
    found.variants.iter().map(|v| v.ident.to_string()).collect()
}

fn text(words: &str) -> String {
    words.to_owned()
}

fn texts(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| text(word)).collect()
}

fn step() -> StepId {
    StepId::new("store_ride").unwrap()
}

fn refusals() -> Vec<Refusal> {
    let attest = texts(&["nobody underneath", "hoses clear of the gap"]);
    vec![
        Refusal::Over,
        Refusal::Opened(true),
        Refusal::Opened(false),
        Refusal::StopCardUp,
        Refusal::NoCarryingOn,
        Refusal::NoStopCard,
        Refusal::NoStopHere,
        Refusal::Waiting {
            attest: attest.clone(),
        },
        Refusal::Stale { attest },
        Refusal::Needs {
            step: text("Lower onto the blocks"),
            missing: vec![
                (
                    text("blocks in"),
                    texts(&["Put the blocks in", "Set the blocks by the handle"]),
                ),
                (text("nobody underneath"), Vec::new()),
            ],
        },
        Refusal::Unread {
            step: text("Store ride height"),
            missing: texts(&["height left, as found", "height right, as found"]),
        },
        Refusal::NotAsked {
            what: text("gauge, left"),
            asked: texts(&["left block", "right block"]),
        },
        Refusal::NotAsked {
            what: text("gauge, left"),
            asked: Vec::new(),
        },
        Refusal::Unanswered {
            open: texts(&["left block", "gauge, right"]),
        },
        Refusal::BadAnswer {
            ticks: texts(&["left block"]),
        },
        Refusal::LimitNotMet {
            of: text("gauge, left"),
        },
        Refusal::WordsWanted {
            tick: text("bellows, left"),
        },
        Refusal::Applies {
            tick: text("front wheels chocked"),
        },
        Refusal::ReasonWanted,
        Refusal::Kind {
            reading: text("gauge, left"),
            wanted: Kind::GaugePressure,
            found: Kind::AbsolutePressure,
        },
        Refusal::BeyondSpan {
            reading: text("gauge, left"),
            instrument: text("gauge 10 bar, left"),
        },
        Refusal::Unusual {
            reading: text("height left"),
        },
        Refusal::NoInstrument {
            role: text("gauge, left"),
        },
        Refusal::Overdue {
            instrument: text("gauge 10 bar, left"),
            due: "2026-03-31".parse::<Day>().unwrap(),
        },
        Refusal::ZeroRefused {
            instrument: text("gauge 10 bar, left"),
        },
        Refusal::ZeroWanted {
            instrument: text("gauge 10 bar, left"),
        },
        Refusal::WrongInstrument {
            instrument: InstrumentId::new("calliper").unwrap(),
            role: text("gauge, left"),
        },
        Refusal::SamePerson,
        Refusal::FirstReadingMissing {
            reading: text("height left"),
        },
        Refusal::NoOverride,
        Refusal::WrongConfirm {
            wanted: "with a hold",
        },
        Refusal::WrongConfirm {
            wanted: "by choosing what was seen",
        },
        Refusal::WeakHold {
            what: "it was too short",
        },
        Refusal::TooSoon { left_ms: 61_200 },
        Refusal::NotRunning,
        Refusal::Withdrawn {
            choice: text("look again"),
        },
        Refusal::NotToAttest {
            condition: text("front wheels chocked"),
        },
        Refusal::ReadingWanted {
            condition: text("brake circuits up"),
            reading: text("brake circuit, front"),
        },
        Refusal::NotDue {
            reading: text("gauge, left"),
        },
        Refusal::NothingToCorrect {
            what: text("gauge, left"),
        },
        Refusal::NoRepeat {
            step: text("Lower onto the blocks"),
            why: "it changes what holds or what is owed",
        },
        Refusal::Repeating(true),
        Refusal::Repeating(false),
        Refusal::NotOwed,
        Refusal::NoWorking {
            working: text("left and right differ by"),
            why: text(
                "the sum mean needs 2 points of values; there are 1 so far, take the next reading",
            ),
        },
        Refusal::SheetLacks {
            key: text("ride_height"),
        },
        Refusal::NoSuchStep(step()),
    ]
}

/// What was typed, as what, and how a field shows it; `None` in a document.
type Typing = (&'static str, Kind, Option<Unit>);

fn typings() -> Vec<Typing> {
    let bar = Some(Unit::Bar);
    let mm = Some(Unit::Millimetre);
    vec![
        ("", Kind::GaugePressure, bar),
        ("two bar", Kind::GaugePressure, bar),
        ("2.", Kind::GaugePressure, bar),
        ("2.123456789012345678 bar", Kind::GaugePressure, bar),
        ("1,250", Kind::Length, mm),
        ("1 250", Kind::Length, mm),
        ("3/7 in", Kind::Length, mm),
        ("190", Kind::Length, None),
        ("2 bat", Kind::GaugePressure, bar),
        ("190 mm", Kind::GaugePressure, bar),
        ("2 bar", Kind::AbsolutePressure, bar),
        ("2 bar abs", Kind::GaugePressure, bar),
        ("30 psig", Kind::PressureDifference, bar),
        ("4 deg 75'", Kind::Angle, Some(Unit::Degree)),
        ("-4.3 deg nose up", Kind::Slope, Some(Unit::Degree)),
        ("4.3 deg nose up", Kind::Angle, Some(Unit::Degree)),
        ("-1 bar abs", Kind::AbsolutePressure, bar),
        ("95 deg nose up", Kind::Slope, Some(Unit::Degree)),
        (
            "0.000000000000000000000000000000000000000000000000000000000000001",
            Kind::Length,
            mm,
        ),
    ]
}

fn misreads() -> Vec<(Typing, Misread)> {
    let typings = typings().into_iter();
    typings
        .filter_map(|typing| {
            let (typed, kind, shown) = typing;
            let result = match shown {
                Some(unit) => read(typed, kind, unit),
                None => read_literal(typed, kind),
            };
            Some((typing, result.err()?))
        })
        .collect()
}

fn not_quantities() -> Vec<NotAQuantity> {
    let error = KindError {
        wanted: Kind::GaugePressure,
        found: Kind::AbsolutePressure,
    };
    vec![
        NotAQuantity::NotFinite { kind: Kind::Length },
        NotAQuantity::UnderZero {
            kind: Kind::AbsolutePressure,
        },
        NotAQuantity::TooSteep,
        NotAQuantity::Mixed(error),
        NotAQuantity::ForeignUnit {
            kind: Kind::Length,
            unit: Unit::Bar,
        },
    ]
}

fn not_instruments() -> Vec<NotAnInstrument> {
    let error = KindError {
        wanted: Kind::GaugePressure,
        found: Kind::Length,
    };
    vec![
        NotAnInstrument::Kind(error),
        NotAnInstrument::EmptySpan,
        NotAnInstrument::Resolution,
        NotAnInstrument::Limit,
    ]
}

fn damage(fault: Fault) -> Damage {
    Damage {
        line: 4,
        offset: 2310,
        fault,
        valid: journal::read(b"").unwrap(),
    }
}

fn faults() -> Vec<Fault> {
    vec![
        Fault::NotALine,
        Fault::Altered,
        Fault::TooLong {
            bytes: MAX_LINE + 1,
        },
        Fault::Fused,
        Fault::Format { found: 2 },
        Fault::Form {
            what: text("`at` is no instant"),
        },
        Fault::Missing { first: 3, last: 3 },
        Fault::Missing { first: 3, last: 5 },
        Fault::Moved {
            expected: 3,
            found: 5,
        },
        Fault::Repeated { seq: 3 },
        Fault::Unchained { seq: 3 },
    ]
}

fn failures() -> Vec<Failure> {
    let path = || PathBuf::from("jobs/20261124-7F3K9QXM");
    let journal = || path().join("journal.jsonl");
    let storage = |kind| Failure::Storage {
        doing: "create",
        path: journal(),
        source: std::io::Error::from(kind),
    };
    let holder = Holder {
        pid: 4711,
        who: text("A. Player"),
        since: text("2026-11-24T09:12:00+00:00"),
        host: Some(text("bay-2")),
    };
    vec![
        storage(std::io::ErrorKind::StorageFull),
        storage(std::io::ErrorKind::PermissionDenied),
        storage(std::io::ErrorKind::NotFound),
        Failure::NotSafe {
            path: journal(),
            confirmed: 17,
            kind: std::io::ErrorKind::Other,
            reason: text("input/output error"),
        },
        Failure::Damaged {
            path: journal(),
            damage: Box::new(damage(Fault::Altered)),
        },
        Failure::Held {
            path: path(),
            holder: Some(holder),
        },
        Failure::Held {
            path: path(),
            holder: None,
        },
        Failure::Releasing { path: path() },
        Failure::ReleasesDamaged {
            path: path(),
            what: "line 3: it was altered: its bytes do not give its hash".to_owned(),
        },
        Failure::NoJob { path: path() },
        Failure::Taken {
            path: PathBuf::from("copy.jsonl"),
        },
        Failure::TooLong {
            bytes: MAX_LINE + 100,
        },
        Failure::Unwritable {
            what: "`at` is no instant of the calendar",
        },
        Failure::BadJobId {
            typed: text("7F3K"),
        },
        Failure::BadFileName {
            typed: text("../sheet"),
        },
        Failure::NoHome,
        Failure::NoRandomness {
            reason: text("no such device"),
        },
    ]
}

fn differences() -> Vec<Disagreement> {
    vec![
        Disagreement::Refused(Box::new(Refusal::Unanswered {
            open: texts(&["left block"]),
        })),
        Disagreement::Otherwise {
            recorded: Some(Box::new(Event::Noted {
                text: text("strap looked at"),
            })),
            decided: None,
        },
        Disagreement::By {
            named: text("B. Other"),
            keyboard: text("A. Player"),
        },
        Disagreement::Clock,
    ]
}

fn job_id(random: u64) -> JobId {
    JobId::new(1_795_000_000_000, random).unwrap()
}

fn findings() -> Vec<Flaw> {
    let entry = |what| Difference { entry: 7, what };
    vec![
        Flaw::Damaged(Box::new(damage(Fault::Altered))),
        Flaw::Torn { bytes: 118 },
        Flaw::Empty,
        Flaw::NotUnderstood(text("Entry 3: its command can't be understood.")),
        Flaw::OtherJob {
            pinned: job_id(1),
            found: job_id(2),
        },
        Flaw::OtherMode,
        Flaw::NoDocument("sheet.json"),
        Flaw::OtherDocument {
            name: "sheet.json",
            pinned: Digest::of(b"a"),
            found: Digest::of(b"b"),
        },
        Flaw::NotLoaded(text("sheet.json: unknown field")),
        Flaw::Differs(entry(Disagreement::Clock)),
        Flaw::MoreDiffer,
        Flaw::CutOff {
            sealed: 41,
            found: 39,
        },
        Flaw::OtherSeal { count: 41 },
    ]
}

fn causes() -> Vec<Cause> {
    let ms = Duration::from_millis;
    let modifiers = Modifiers::default();
    vec![
        Cause::OtherKey {
            key: Key::Char('k'),
            modifiers,
        },
        Cause::OtherKey {
            key: Key::Esc,
            modifiers,
        },
        Cause::Modified,
        Cause::Pasted,
        Cause::FocusLost,
        Cause::Resized,
        Cause::NotShown,
        Cause::Mouse,
        Cause::Continued,
        Cause::Signalled,
        Cause::DrawFailed,
        Cause::Stalled(ms(812)),
        Cause::ClocksDisagree(ms(640)),
        Cause::Overflow,
        Cause::NotLetGo,
        Cause::ReleasedEarly(ms(900)),
        Cause::RepeatWithoutPress,
        Cause::ReleaseTooSoon,
        Cause::ReleasedTwice,
        Cause::RepeatsStopped(ms(420)),
        Cause::FirstGap(ms(90)),
        Cause::NoRepeat,
        Cause::Burst,
        Cause::Slow(ms(700)),
        Cause::Tapping,
        Cause::Uneven,
        Cause::WrongDigit,
        Cause::DigitsTooFast,
        Cause::DigitsTooSlow,
    ]
}

/// A sentence for each of the small errors that are one thing only.
fn small() -> Vec<(String, String)> {
    let difference = rehearsal::Difference {
        rehearsal: text("rh_straight_bw_07"),
        step: text("lower_onto_blocks"),
        number: 12,
        what: text("it leads to look_at_blocks, the script says store_ride"),
    };
    let not_understood = NotUnderstood {
        entry: 3,
        part: Part::Command,
        what: text("unknown variant `melt`"),
    };
    [
        ("Day", "2026-13-01".parse::<Day>().unwrap_err().to_string()),
        ("Id", StepId::new("Store Ride").unwrap_err().to_string()),
        ("Person", Person::new("").unwrap_err().to_string()),
        ("Seal", "41-abc".parse::<Seal>().unwrap_err().to_string()),
        ("Rehearsal", difference.to_string()),
        ("NotUnderstood", not_understood.to_string()),
    ]
    .map(|(name, sentence)| (text(name), sentence))
    .to_vec()
}

fn misread_lines() -> Vec<(String, String)> {
    let lines = misreads().into_iter();
    lines
        .map(|((typed, kind, _), misread)| {
            let name = format!(
                "{} ({typed:?} as {})",
                variant(&misread.problem),
                kind.name()
            );
            (name, misread.to_string())
        })
        .collect()
}

fn chapters() -> Vec<Chapter> {
    let disagreements = differences().into_iter();
    let disagreements = disagreements.map(|what| {
        let name = variant(&what);
        (name, Difference { entry: 7, what }.to_string())
    });
    vec![
        Chapter::new("Refusal: the engine says no", &refusals()),
        Chapter {
            title: "Misread: what was typed is no value",
            lines: misread_lines(),
        },
        Chapter::new("NotAQuantity: a number that can't be", &not_quantities()),
        Chapter::new(
            "NotAnInstrument: values that describe none",
            &not_instruments(),
        ),
        Chapter::new("CalcError: a sum gives nothing", &sum::refused()),
        Chapter::new(
            "Misentry: an input of a sum is not understood",
            &sum::misentries(),
        ),
        Chapter::new("Failure: disk, lock, what was asked of them", &failures()),
        Chapter::new("Fault: what is wrong with a line of a journal", &faults()),
        Chapter {
            title: "Difference: record and engine do not agree",
            lines: disagreements.collect(),
        },
        Chapter::new("Flaw: what is wrong with a record", &findings()),
        Chapter::new("Cause: a hold was cancelled", &causes()),
        Chapter::new(
            "Slip: taps in turn begin again",
            &[Slip::SameKey, Slip::TooFast, Slip::TooSlow],
        ),
        Chapter::new(
            "Refused: something can't be done at the practice truck",
            &drill::refused(),
        ),
        Chapter {
            title: "BadHand: a line of a script is nothing to do at the truck",
            lines: drill::bad_hands(),
        },
        Chapter {
            title: "Act: what is unsafe in a drill, and why",
            lines: drill::acts(),
        },
        Chapter {
            title: "The small ones",
            lines: small(),
        },
        Chapter {
            title: "Codes of findings in documents (sentences: tests/documents/told)",
            lines: CODES
                .iter()
                .map(|code| (code.to_string(), String::new()))
                .collect(),
        },
    ]
}

#[test]
fn all_sentences_read_aloud() {
    let mut page = String::new();
    for chapter in chapters() {
        write!(page, "# {}\n\n", chapter.title).unwrap();
        for (name, sentence) in chapter.lines {
            if sentence.is_empty() {
                writeln!(page, "{name}").unwrap();
            } else {
                write!(page, "{name}\n    {sentence}\n").unwrap();
            }
        }
        page.push('\n');
    }
    insta::with_settings!({ prepend_module_to_snapshot => false, snapshot_path => "../told", omit_expression => true }, {
        insta::assert_snapshot!("sentences", page);
    });
}

/// Holds the names of examples against the variants in the source.
fn complete(file: &str, name: &str, shown: impl IntoIterator<Item = String>) {
    let shown: BTreeSet<String> = shown.into_iter().collect();
    assert_eq!(
        shown,
        variants(file, name),
        "examples of {name}, and {file}"
    );
}

fn shown<E: Debug>(examples: &[E]) -> Vec<String> {
    examples.iter().map(variant).collect()
}

#[test]
fn no_sentence_is_forgotten() {
    complete("src/job/refusal.rs", "Refusal", shown(&refusals()));
    complete("src/calc/error.rs", "CalcError", shown(&sum::refused()));
    complete("src/rig/happening.rs", "Refused", shown(&drill::refused()));
    complete("src/calc/entry.rs", "Misentry", shown(&sum::misentries()));
    complete("src/journal/failure.rs", "Failure", shown(&failures()));
    complete("src/journal/damage.rs", "Fault", shown(&faults()));
    complete(
        "src/journal/ledger.rs",
        "Disagreement",
        shown(&differences()),
    );
    complete("src/record/verify.rs", "Flaw", shown(&findings()));
    complete("src/hold/cause.rs", "Cause", shown(&causes()));
    complete(
        "src/quantity/value.rs",
        "NotAQuantity",
        shown(&not_quantities()),
    );
    complete(
        "src/quantity/metrology.rs",
        "NotAnInstrument",
        shown(&not_instruments()),
    );
    let problems: Vec<Problem> = misreads().into_iter().map(|(_, m)| m.problem).collect();
    complete("src/quantity/misread.rs", "Problem", shown(&problems));
}

#[test]
fn no_sentence_carries_a_control_character_or_two_spaces() {
    for chapter in chapters() {
        for (name, sentence) in chapter.lines {
            let steers = sentence.chars().any(char::is_control);
            assert!(!steers && !sentence.contains("  "), "{name}: {sentence:?}");
        }
    }
}
