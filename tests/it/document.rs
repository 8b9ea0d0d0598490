//! Documents that are wrong, each in one way: what people are told, whole.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "allowances for tests do not reach their helpers, and tests read files"
)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use levelhand::cli::shipped::{Shelf, all};
use levelhand::document::{self, AtHand, CODES, Loaded};
use levelhand::finding::{Finding, Placed, draw_all};

/// The documents of a directory under `tests/documents`, by name.
fn documents(directory: &str) -> Vec<(String, Vec<u8>)> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/documents")
        .join(directory);
    let mut paths: Vec<PathBuf> = fs::read_dir(path)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    paths.sort();
    paths
        .into_iter()
        .map(|p| {
            let name = p.file_name().unwrap().to_str().unwrap().to_owned();
            (name, fs::read(p).unwrap())
        })
        .collect()
}

fn base(name: &str) -> Vec<u8> {
    let all = documents("valid");
    all.into_iter().find(|(n, _)| n == name).unwrap().1
}

/// What is found in a document on its own, and, if its name says so, together
/// with the base of the other formats.
fn found(name: &str, bytes: &[u8]) -> Vec<Placed> {
    if name.ends_with(".sheet.json") {
        let sheet = document::sheet(name, bytes);
        let instruments = document::instruments("base", &base("base.instruments.json"));
        fitted(name, sheet.placed(), &sheet, &instruments)
    } else if name.ends_with(".instruments.json") {
        let sheet = document::sheet("base", &base("base.sheet.json"));
        let instruments = document::instruments(name, bytes);
        fitted(name, instruments.placed(), &sheet, &instruments)
    } else if name.ends_with(".truck.json") {
        let find = |id: &str| match id {
            // Like itself: whoever looks for it gets it again.
            "round" => Some(bytes.to_vec()),
            id => shipped(Shelf::Truck, id),
        };
        let mut hand = at_hand().clone();
        hand.trucks.insert("round".to_owned());
        document::truck(name, bytes, &find, Some(&hand)).placed()
    } else if name.ends_with(".fault.json") {
        document::fault(name, bytes, Some(at_hand())).placed()
    } else if name.ends_with(".drill.json") {
        document::drill(name, bytes, Some(at_hand())).placed()
    } else if name.ends_with(".timetable.json") {
        let find = |id: &str| shipped(Shelf::Truck, id);
        document::timetable(name, bytes, &find, Some(at_hand())).placed()
    } else if name.ends_with(".script.json") {
        let job = shipped(Shelf::Procedure, "ride_height").unwrap();
        let job = document::procedure("ride_height", &job).value.unwrap();
        document::drill_script(name, bytes, Some(&job), Some(at_hand())).placed()
    } else {
        document::procedure(name, bytes).placed()
    }
}

fn shipped(shelf: Shelf, id: &str) -> Option<Vec<u8>> {
    let found = all().find(|d| d.shelf == shelf && d.id == id)?;
    Some(found.bytes.to_vec())
}

/// Everything that is built in, by name.
fn at_hand() -> &'static AtHand {
    static HAND: OnceLock<AtHand> = OnceLock::new();
    HAND.get_or_init(|| {
        let mut hand = AtHand::default();
        for built_in in all() {
            let (name, bytes) = (built_in.id, built_in.bytes);
            let list = match built_in.shelf {
                Shelf::Procedure => {
                    hand.add_procedure(&document::procedure(name, bytes).value.unwrap());
                    continue;
                }
                Shelf::Truck => {
                    let find = |id: &str| shipped(Shelf::Truck, id);
                    hand.add_truck(&document::truck(name, bytes, &find, None).value.unwrap());
                    continue;
                }
                Shelf::Sheet => &mut hand.sheets,
                Shelf::Instruments => &mut hand.instruments,
                Shelf::Fault => &mut hand.faults,
                Shelf::Drill => &mut hand.drills,
                Shelf::DrillScript => &mut hand.scripts,
                Shelf::Rehearsal | Shelf::Timetable => continue,
            };
            list.insert(name.to_owned());
        }
        hand
    })
}

fn fitted(
    name: &str,
    mut placed: Vec<Placed>,
    sheet: &Loaded<levelhand::procedure::Sheet>,
    instruments: &Loaded<levelhand::procedure::Instruments>,
) -> Vec<Placed> {
    let procedure = document::procedure("base.json", &base("base.json"));
    if !name.starts_with("fit-") {
        return placed;
    }
    let values = (&procedure.value, &sheet.value, &instruments.value);
    if let (Some(p), Some(s), Some(i)) = values {
        let place = |f: &Finding| {
            let places = [&sheet.places, &instruments.places, &procedure.places];
            let placed = places.into_iter().map(|p| p.place(f));
            placed
                .into_iter()
                .find(|p| p.place.is_some())
                .unwrap_or_else(|| f.clone().into())
        };
        placed.extend(document::fit(p, s, i).iter().map(place));
    }
    placed
}

fn code_of(name: &str) -> &str {
    name.split('.').next().unwrap().trim_start_matches("fit-")
}

#[test]
fn every_wrong_document_is_told_in_full() {
    for (name, bytes) in documents("invalid") {
        let placed = found(&name, &bytes);
        let text = draw_all(&placed, false);
        assert!(!placed.is_empty(), "{name} is not found to be wrong");
        assert!(
            placed.iter().all(|p| p.place.is_some()),
            "{name}: a finding without a place"
        );
        if name != "five-mistakes.json" {
            let fits = |p: &Placed| code_of(&name).starts_with(p.finding.code.as_str());
            assert!(
                placed.iter().any(fits),
                "{name} shows something else:\n{text}"
            );
        }
        assert!(
            text.chars().all(|c| c == '\n' || !c.is_control()),
            "{name} would put a control character on the terminal"
        );
        insta::with_settings!({ prepend_module_to_snapshot => false, snapshot_path => "../documents/told", omit_expression => true }, {
            insta::assert_snapshot!(name.trim_end_matches(".json"), text);
        });
    }
}

#[test]
fn nothing_is_told_of_a_document_that_is_gone() {
    let stem = |name: &str, end: &str| name.trim_end_matches(end).to_owned();
    let told = documents("told")
        .into_iter()
        .map(|(n, _)| stem(&n, ".snap"));
    let wrong = documents("invalid")
        .into_iter()
        .map(|(n, _)| stem(&n, ".json"));
    assert_eq!(
        told.collect::<BTreeSet<_>>(),
        wrong.collect::<BTreeSet<_>>()
    );
}

#[test]
fn every_near_miss_passes() {
    for (name, bytes) in documents("valid") {
        let placed = found(&name, &bytes);
        assert!(placed.is_empty(), "{name}:\n{}", draw_all(&placed, false));
    }
}

#[test]
fn every_code_has_a_document_that_shows_it() {
    let mut shown: BTreeSet<&str> = BTreeSet::new();
    for (name, bytes) in documents("invalid") {
        shown.extend(found(&name, &bytes).iter().map(|p| p.finding.code.as_str()));
    }
    // Too large to keep as files; shown by tests of their own.
    shown.extend(["too-large", "too-many"]);
    let all: BTreeSet<&str> = CODES.iter().map(|c| c.as_str()).collect();
    assert_eq!(shown, all);
}

#[test]
fn a_huge_file_is_refused_at_once() {
    let mut bytes = base("base.json");
    bytes.resize(4 * 1024 * 1024, b' ');
    assert!(document::procedure("huge.json", &bytes).value.is_some());
    bytes.push(b' ');
    let loaded = document::procedure("huge.json", &bytes);
    assert!(loaded.value.is_none());
    insta::assert_snapshot!(draw_all(&loaded.placed(), false), @"
    error[too-large]: the file has 4194305 bytes; a document has at most 4194304 (4 MiB)
     --> huge.json:1:1
      |
    1 | {
      | ^
      |
      = help: is it the file you meant? procedures are text and rarely over 200 KiB
    ");
}

#[test]
fn five_mistakes_show_five_findings() {
    let all = documents("invalid");
    let (name, bytes) = all.iter().find(|(n, _)| n == "five-mistakes.json").unwrap();
    let loaded = document::procedure(name, bytes);
    let mut codes: Vec<&str> = loaded.findings.iter().map(|f| f.code.as_str()).collect();
    codes.sort_unstable();
    assert_eq!(
        codes,
        [
            "bad-value",
            "no-question",
            "unknown-field",
            "unknown-step",
            "unknown-word"
        ]
    );
}

#[test]
fn cut_anywhere_a_document_is_told_and_never_breaks() {
    let bytes = base("base.json");
    for end in (0..bytes.len()).step_by(7) {
        let loaded = document::procedure("cut.json", &bytes[..end]);
        if end < bytes.len() - 1 {
            assert!(loaded.value.is_none(), "cut at {end}");
            assert!(!loaded.placed().is_empty(), "cut at {end}");
        }
    }
}

#[test]
fn cut_anywhere_a_timetable_is_told_and_never_breaks() {
    for name in ["base.timetable.json", "impossible-state.timetable.json"] {
        let bytes = base(name);
        let whole = bytes.trim_ascii_end().len();
        for end in 0..whole {
            let loaded = document::timetable("cut.json", &bytes[..end], &|_| None, None);
            assert!(loaded.value.is_none(), "{name} cut at {end}");
            assert!(!loaded.placed().is_empty(), "{name} cut at {end}");
        }
        let loaded = document::timetable("whole.json", &bytes, &|_| None, None);
        assert!(loaded.value.is_some(), "{name}");
    }
}

#[test]
fn every_reading_of_the_jobs_to_practise_is_shown_by_every_truck_in_its_kind() {
    use levelhand::rig::{Bay, Hand, Seen, Truth};
    use std::sync::Arc;

    for built_in in all().filter(|d| d.shelf == Shelf::Truck) {
        let find = |id: &str| shipped(Shelf::Truck, id);
        let truck = document::truck(built_in.id, built_in.bytes, &find, None);
        let truck = Arc::new(truck.value.unwrap());
        let mut bay = Bay::new(Arc::clone(&truck), Vec::new(), None);
        for job in ["ride_height", "height_check"] {
            let text = shipped(Shelf::Procedure, job).unwrap();
            let job = document::procedure(job, &text).value.unwrap();
            for (id, reading) in &job.readings {
                // Two-piece shafts are on no truck to practise on.
                if id.as_str() == "slope_coupling" {
                    continue;
                }
                let sight = truck.readings.get(id.as_str());
                let sight = sight.unwrap_or_else(|| panic!("{}: nothing shows {id}", truck.id));
                let kind = match truck.cards.get(sight).map(|card| &card.truth) {
                    Some(Truth::Value(value)) => value.kind(),
                    Some(Truth::Word { .. }) => panic!("{}: {id} shows a word", truck.id),
                    None => match seen(&mut bay, sight, &Hand::Gauges(true)) {
                        Some(Seen::Value(value)) => value.kind(),
                        // Seen only while a stand is under the rail.
                        None => continue,
                        Some(Seen::Word { .. }) => panic!("{}: {id} shows a word", truck.id),
                    },
                };
                assert_eq!(kind, reading.kind, "{}: {id}", truck.id);
            }
        }
    }
}

/// What is seen now, or once the gauges are on.
fn seen(
    bay: &mut levelhand::rig::Bay,
    sight: &str,
    gauges: &levelhand::rig::Hand,
) -> Option<levelhand::rig::Seen> {
    if let Some(seen) = bay.sees(sight) {
        return Some(seen);
    }
    let mut fitted = bay.clone();
    fitted.act(gauges).ok()?;
    fitted.sees(sight)
}

#[test]
fn what_a_shipped_fault_changes_is_there_on_every_truck() {
    use levelhand::rig::Set;

    let cards = |id: &str, bytes: &[u8]| {
        let find = |id: &str| shipped(Shelf::Truck, id);
        document::truck(id, bytes, &find, None).value.unwrap().cards
    };
    for truck in all().filter(|d| d.shelf == Shelf::Truck) {
        let cards = cards(truck.id, truck.bytes);
        for fault in all().filter(|d| d.shelf == Shelf::Fault) {
            let read = document::fault(fault.id, fault.bytes, Some(at_hand()));
            for set in read.value.unwrap().sets {
                if let Set::Card(card, truth) = set {
                    let there = cards.get(&card);
                    let there = there.unwrap_or_else(|| panic!("{}: {card}", fault.id));
                    let same = std::mem::discriminant(&there.truth);
                    assert_eq!(same, std::mem::discriminant(&truth), "{}: {card}", fault.id);
                }
            }
        }
    }
}

#[test]
fn the_course_goes_on_from_drill_to_drill() {
    let drills = all().filter(|d| d.shelf == Shelf::Drill);
    let mut plans: Vec<_> = drills
        .map(|d| {
            let read = document::drill(d.id, d.bytes, Some(at_hand()));
            read.value.unwrap_or_else(|| panic!("{}", d.id))
        })
        .collect();
    plans.sort_by_key(|plan| plan.number);
    let mut before = None;
    for (at, plan) in plans.iter().enumerate() {
        assert_eq!(plan.number as usize, at + 1, "{}", plan.id);
        assert_eq!(plan.after, before, "{}", plan.id);
        before = Some(plan.id.clone());
    }
    assert!(plans.len() >= 8);
}

#[test]
fn every_shipped_document_for_practice_names_only_what_is_there() {
    for built_in in all() {
        let (name, bytes) = (built_in.path, built_in.bytes);
        let placed = match built_in.shelf {
            Shelf::Truck => {
                let find = |id: &str| shipped(Shelf::Truck, id);
                document::truck(name, bytes, &find, Some(at_hand())).placed()
            }
            Shelf::Fault => document::fault(name, bytes, Some(at_hand())).placed(),
            Shelf::Drill => document::drill(name, bytes, Some(at_hand())).placed(),
            Shelf::DrillScript => {
                document::drill_script(name, bytes, None, Some(at_hand())).placed()
            }
            Shelf::Timetable => {
                let find = |id: &str| shipped(Shelf::Truck, id);
                document::timetable(name, bytes, &find, Some(at_hand())).placed()
            }
            Shelf::Procedure | Shelf::Sheet | Shelf::Instruments | Shelf::Rehearsal => continue,
        };
        assert!(placed.is_empty(), "{}", draw_all(&placed, false));
    }
}
