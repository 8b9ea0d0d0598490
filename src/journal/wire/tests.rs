//! What is written is read back equal; what is unknown is refused by name.

use std::collections::BTreeMap;

use proptest::collection::{btree_map, vec};
use proptest::option;
use proptest::prelude::*;

use super::*;
use crate::job::{
    Answer, Correction, Entry as Typed, Evidence, Judged, Mode, Person, Taken, Tier, Way,
};
use crate::journal::{Digest, DirId, JobId, Stamp};
use crate::procedure::{
    ChoiceId, ConditionId, DutyId, EndKind, InstrumentId, Outcome, RoleId, StepId, TickId, ValueId,
};
use crate::quantity::{Judgement, Kind, Measured, Quantity, Rule, System, Verdict};

const ID: &str = "[a-z][a-z0-9]{0,8}(_[a-z0-9]{1,4})?";

macro_rules! id {
    ($name:ident) => {
        ID.prop_map(|text| $name::new(&text).unwrap())
    };
}

fn some<T: Clone + std::fmt::Debug + 'static>(all: &'static [T]) -> impl Strategy<Value = T> {
    proptest::sample::select(all)
}

fn person() -> impl Strategy<Value = Person> {
    "\\PC{1,12}".prop_filter_map("a name", |name| Person::new(&name).ok())
}

fn at() -> impl Strategy<Value = At> {
    (any::<i64>(), any::<i32>(), any::<u64>(), any::<u32>()).prop_map(
        |(wall_ms, offset_min, mono_ms, session)| At {
            wall_ms,
            offset_min,
            mono_ms,
            session,
        },
    )
}

/// Every finite number a kind can have: odd last digits, huge, tiny, subnormal.
fn quantity_of(kind: Kind) -> impl Strategy<Value = Quantity> {
    let numbers = prop_oneof![
        proptest::num::f64::NORMAL | proptest::num::f64::SUBNORMAL | proptest::num::f64::ZERO,
        -1e7..1e7,
        -1.5..1.5,
    ];
    numbers.prop_filter_map("possible for the kind", move |si: f64| {
        Quantity::from_si(si, kind)
            .or_else(|_| Quantity::from_si(si.abs(), kind))
            .ok()
    })
}

fn quantity() -> impl Strategy<Value = Quantity> {
    some(&Kind::ALL).prop_flat_map(quantity_of)
}

fn measured() -> impl Strategy<Value = Measured> {
    some(&Kind::ALL).prop_flat_map(|kind| {
        let apart = kind.difference();
        (quantity_of(kind), quantity_of(apart), quantity_of(apart)).prop_map(
            |(value, repeated, fresh)| Measured::of_parts(value, repeated, fresh).unwrap(),
        )
    })
}

fn typed() -> impl Strategy<Value = Typed> {
    (any::<String>(), quantity(), any::<bool>()).prop_map(|(typed, value, again)| Typed {
        typed,
        value,
        again,
    })
}

fn taken() -> impl Strategy<Value = Taken> {
    (
        (
            measured(),
            any::<String>(),
            option::of(id!(InstrumentId)),
            at(),
        ),
        (person(), id!(StepId)),
        (any::<bool>(), any::<bool>(), any::<bool>()),
    )
        .prop_map(
            |((measured, typed, instrument, at), (by, step), (overdue, unusual, late))| Taken {
                measured,
                typed,
                instrument,
                at,
                by,
                step,
                overdue,
                unusual,
                late,
            },
        )
}

fn judged() -> impl Strategy<Value = Judged> {
    let parts = some(&Kind::ALL).prop_flat_map(|kind| {
        let apart = kind.difference();
        (quantity_of(apart), quantity_of(apart))
    });
    (
        any::<usize>(),
        some(&[Verdict::Within, Verdict::Outside, Verdict::TooClose]),
        parts,
        some(&[Rule::Simple, Rule::Guarded]),
        1.0..4.0,
    )
        .prop_map(|(limit, verdict, (margin, expanded), rule, k)| Judged {
            limit,
            judgement: Judgement {
                verdict,
                margin,
                expanded,
                k,
                rule,
            },
        })
}

fn answer() -> impl Strategy<Value = Answer> {
    prop_oneof![
        any::<String>().prop_map(Answer::Yes),
        Just(Answer::No),
        any::<String>().prop_map(Answer::NotApplicable),
    ]
}

fn evidence() -> impl Strategy<Value = Evidence> {
    (
        some(&Tier::ALL),
        any::<u64>(),
        any::<u32>(),
        any::<u64>(),
        any::<u32>(),
        any::<String>(),
    )
        .prop_map(
            |(tier, held_ms, events, median_ms, cancels, terminal)| Evidence {
                tier,
                held_ms,
                events,
                median_ms,
                cancels,
                terminal,
            },
        )
}

fn roles() -> impl Strategy<Value = BTreeMap<RoleId, InstrumentId>> {
    btree_map(id!(RoleId), id!(InstrumentId), 0..4)
}

fn system() -> impl Strategy<Value = System> {
    some(&[System::Metric, System::Us])
}

fn open() -> impl Strategy<Value = Command> {
    (
        person(),
        vec(person(), 0..3),
        any::<String>(),
        roles(),
        system(),
        option::of(any::<String>()),
    )
        .prop_map(|(by, with, why, roles, system, earlier)| Command::Open {
            by,
            with,
            why,
            roles,
            system,
            earlier,
        })
}

fn correction() -> impl Strategy<Value = Correction> {
    prop_oneof![
        (id!(ValueId), typed()).prop_map(|(reading, entry)| Correction::Reading { reading, entry }),
        (id!(StepId), id!(TickId), answer()).prop_map(|(step, tick, answer)| Correction::Tick {
            step,
            tick,
            answer
        }),
        (id!(StepId), id!(ChoiceId)).prop_map(|(step, choice)| Correction::Choice { step, choice }),
    ]
}

fn plain_command() -> impl Strategy<Value = Command> {
    some(&[
        Command::Begin,
        Command::Press,
        Command::Lapse,
        Command::Confirm,
        Command::GoOn,
        Command::CallStop,
        Command::CarryOn,
        Command::TakeStop,
        Command::LeaveRepeat,
    ])
}

fn command() -> impl Strategy<Value = Command> {
    let people = prop_oneof![
        person().prop_map(|by| Command::Resume { by }),
        person().prop_map(|by| Command::SignOn { by }),
        person().prop_map(|to| Command::HandOverRepeats { to }),
        (id!(DutyId), person()).prop_map(|(duty, to)| Command::HandOver { duty, to }),
        (any::<u64>(), any::<String>())
            .prop_map(|(bytes, hash)| Command::Recovered { bytes, hash }),
        any::<String>().prop_map(|text| Command::Note { text }),
    ];
    let values = prop_oneof![
        (id!(TickId), answer()).prop_map(|(tick, answer)| Command::Tick { tick, answer }),
        (id!(ValueId), typed()).prop_map(|(reading, entry)| Command::Read { reading, entry }),
        (id!(ValueId), person(), typed()).prop_map(|(reading, by, entry)| Command::Witness {
            reading,
            by,
            entry
        }),
        (id!(ConditionId), id!(ValueId), typed()).prop_map(|(condition, reading, entry)| {
            Command::Watch {
                condition,
                reading,
                entry,
            }
        }),
        (id!(ConditionId), option::of(typed()))
            .prop_map(|(condition, entry)| Command::Attest { condition, entry }),
        (correction(), any::<String>())
            .prop_map(|(what, reason)| Command::Correct { what, reason }),
        (
            id!(RoleId),
            id!(InstrumentId),
            option::of(typed()),
            any::<String>()
        )
            .prop_map(|(role, instrument, zero, reason)| Command::UseInstrument {
                role,
                instrument,
                zero,
                reason,
            }),
    ];
    let others = prop_oneof![
        (any::<usize>(), any::<String>())
            .prop_map(|(limit, reason)| Command::Override { limit, reason }),
        evidence().prop_map(Command::Hold),
        id!(ChoiceId).prop_map(|choice| Command::Choose { choice }),
        id!(StepId).prop_map(|step| Command::Repeat { step }),
    ];
    prop_oneof![plain_command(), people, values, others]
}

fn way() -> impl Strategy<Value = Way> {
    prop_oneof![
        some(&Outcome::ALL).prop_map(Way::Outcome),
        id!(ChoiceId).prop_map(Way::Choice),
    ]
}

fn moving_event() -> impl Strategy<Value = Event> {
    let conditions = || vec(id!(ConditionId), 0..3);
    prop_oneof![
        (
            at(),
            vec(person(), 0..3),
            any::<String>(),
            roles(),
            system(),
            option::of(any::<String>())
        )
            .prop_map(|(at, people, why, roles, system, earlier)| Event::Opened {
                at,
                people,
                why,
                roles,
                system,
                earlier,
            }),
        (at(), person(), conditions()).prop_map(|(at, by, stale)| Event::Resumed { at, by, stale }),
        (any::<u64>(), conditions())
            .prop_map(|(by_ms, stale)| Event::ClockWentBack { by_ms, stale }),
        (
            (id!(StepId), way(), at(), conditions(), conditions()),
            (vec(id!(DutyId), 0..3), vec(id!(DutyId), 0..3), any::<u32>()),
        )
            .prop_map(
                |((step, way, at, over, established), (incurred, settled, count))| Event::Left {
                    step,
                    way,
                    at,
                    over,
                    established,
                    incurred,
                    settled,
                    count,
                }
            ),
        (id!(StepId), conditions()).prop_map(|(step, stale)| Event::AtDoor { step, stale }),
        (
            id!(StepId),
            conditions(),
            vec(id!(DutyId), 0..3),
            vec(id!(ValueId), 0..3)
        )
            .prop_map(|(step, cleared, owed, forgotten)| Event::Entered {
                step,
                cleared,
                owed,
                forgotten,
            }),
        (at(), any::<bool>()).prop_map(|(at, forced)| Event::StopCalled { at, forced }),
        id!(StepId).prop_map(|step| Event::StopTaken { step }),
        (
            some(&[EndKind::Complete, EndKind::HandedOver, EndKind::MadeSafe]),
            at()
        )
            .prop_map(|(kind, at)| Event::Ended { kind, at }),
    ]
}

fn value_event() -> impl Strategy<Value = Event> {
    prop_oneof![
        (id!(ValueId), taken()).prop_map(|(reading, taken)| Event::Read { reading, taken }),
        (id!(ValueId), taken()).prop_map(|(reading, taken)| Event::Witnessed { reading, taken }),
        (id!(ValueId), taken()).prop_map(|(working, taken)| Event::Worked { working, taken }),
        (id!(ValueId), taken()).prop_map(|(value, taken)| Event::Replaced { value, taken }),
        (id!(ConditionId), id!(ValueId), taken()).prop_map(|(condition, reading, taken)| {
            Event::Watched {
                condition,
                reading,
                taken,
            }
        }),
        (id!(ConditionId), at(), vec(id!(ValueId), 0..3)).prop_map(|(condition, at, readings)| {
            Event::WatchBegun {
                condition,
                at,
                readings,
            }
        }),
        (id!(InstrumentId), quantity())
            .prop_map(|(instrument, value)| Event::ZeroFound { instrument, value }),
        vec(judged(), 0..4).prop_map(Event::Judged),
        (id!(TickId), answer()).prop_map(|(tick, answer)| Event::Ticked { tick, answer }),
        (id!(StepId), id!(TickId), answer()).prop_map(|(step, tick, answer)| Event::ReTicked {
            step,
            tick,
            answer
        }),
    ]
}

fn other_event() -> impl Strategy<Value = Event> {
    prop_oneof![
        (any::<u64>(), any::<String>()).prop_map(|(bytes, hash)| Event::Recovered { bytes, hash }),
        person().prop_map(|by| Event::SignedOn { by }),
        (any::<usize>(), any::<String>())
            .prop_map(|(limit, reason)| Event::Overridden { limit, reason }),
        at().prop_map(|at| Event::Begun { at }),
        (at(), any::<u32>()).prop_map(|(at, count)| Event::Pressed { at, count }),
        evidence().prop_map(Event::Held),
        (id!(ConditionId), at()).prop_map(|(condition, at)| Event::Attested { condition, at }),
        (
            any::<String>(),
            any::<String>(),
            any::<String>(),
            any::<String>()
        )
            .prop_map(|(subject, was, now, reason)| Event::Corrected {
                subject,
                was,
                now,
                reason,
            }),
        id!(StepId).prop_map(|step| Event::RepeatOwed { step }),
        id!(StepId).prop_map(|step| Event::RepeatBegun { step }),
        (id!(StepId), any::<bool>()).prop_map(|(step, passed)| Event::RepeatEnded { step, passed }),
        (id!(RoleId), id!(InstrumentId), any::<String>()).prop_map(|(role, instrument, reason)| {
            Event::InstrumentUsed {
                role,
                instrument,
                reason,
            }
        }),
        (id!(DutyId), person()).prop_map(|(duty, to)| Event::HandedOver { duty, to }),
        person().prop_map(|to| Event::RepeatsHandedOver { to }),
        any::<String>().prop_map(|text| Event::Noted { text }),
    ]
}

fn events() -> impl Strategy<Value = Vec<Event>> {
    vec(
        prop_oneof![moving_event(), value_event(), other_event()],
        0..6,
    )
}

fn entry(seq: u64, command: Box<RawValue>, events: &[Event]) -> Entry {
    Entry {
        seq,
        at: Stamp {
            wall_ms: 1_795_504_502_120,
            offset_min: 60,
            mono_ms: 42,
        },
        session: 7,
        dir: DirId::new(1),
        by: "A. Nother".to_owned(),
        command,
        events: write_events(events).unwrap(),
    }
}

fn example_pins() -> Pins {
    Pins {
        mode: Mode::Practice,
        job: JobId::parse("20261124-7F3K9QXM").unwrap(),
        program: "0.1.0".to_owned(),
        procedure: Digest::of(b"p"),
        sheet: Digest::of(b"s"),
        instruments: Digest::of(b"i"),
        released: Some(crate::journal::Standings {
            procedure: crate::journal::Standing::Shipped,
            sheet: crate::journal::Standing::Released {
                by: "A. Sample".to_owned(),
                on: "2026-11-28".to_owned(),
            },
            instruments: crate::journal::Standing::NotReleased,
        }),
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn a_command_is_read_back_as_it_was_written(command in command(), events in events()) {
        let text = write_command(&command, "0.1.0").unwrap();
        prop_assert_eq!(text.get().as_bytes()[0], b'{');
        prop_assert!(text.get().bytes().all(|byte| byte >= b' '));
        let told = understand(&entry(3, text, &events)).unwrap();
        let resumes = matches!(command, Command::Resume { .. });
        prop_assert_eq!(told.program, resumes.then(|| "0.1.0".to_owned()));
        prop_assert_eq!(told.command, command);
        prop_assert_eq!(told.events, events);
    }

    #[test]
    fn the_first_entry_is_read_back_with_its_pins(command in open()) {
        let text = write_open(&command, &example_pins()).unwrap();
        let told = understand(&entry(0, text.clone(), &[])).unwrap();
        prop_assert_eq!(told.command, command);
        prop_assert_eq!(told.pins, Some(example_pins()));
        // Nowhere but in front.
        prop_assert!(understand(&entry(1, text, &[])).is_err());
    }

    /// Equality of floats lets the sign of zero go; bits do not.
    #[test]
    fn a_measured_value_keeps_every_bit(measured in measured(), taken in taken()) {
        let before = Event::Worked {
            working: ValueId::new("w").unwrap(),
            taken: Taken { measured, ..taken },
        };
        let text = write_events(std::slice::from_ref(&before)).unwrap();
        let after = event::read(text.get()).unwrap();
        let [Event::Worked { taken, .. }] = after.as_slice() else {
            return Err(TestCaseError::fail("another event"));
        };
        let bits = |m: &Measured| [m.value(), m.u_repeated(), m.u_fresh()].map(|q| q.si().to_bits());
        prop_assert_eq!(bits(&taken.measured), bits(&measured));
    }
}

/// The words of the format, once and for ever: if this test must be changed, old
/// journals can't be read any more.
#[test]
fn writes_exactly_these_words() {
    let reading = Command::Read {
        reading: ValueId::new("gap_left").unwrap(),
        entry: Typed {
            typed: "190,5".to_owned(),
            value: Quantity::from_si(0.1905, Kind::Length).unwrap(),
            again: false,
        },
    };
    let text = |command: &Command| write_command(command, "0.1.0").unwrap().get().to_owned();
    assert_eq!(
        text(&reading),
        r#"{"read":{"reading":"gap_left","entry":{"typed":"190,5","value":{"k":"length","si":0.1905}}}}"#
    );
    assert_eq!(text(&Command::Confirm), r#"{"confirm":{}}"#);
    let by = Person::new("Ann Lee").unwrap();
    assert_eq!(
        text(&Command::Resume { by }),
        r#"{"resume":{"by":"Ann Lee","program":"0.1.0"}}"#
    );
    let attested = Event::Attested {
        condition: ConditionId::new("clear").unwrap(),
        at: At {
            wall_ms: 1_795_504_502_120,
            offset_min: 60,
            mono_ms: 42,
            session: 7,
        },
    };
    assert_eq!(
        write_events(&[attested]).unwrap().get(),
        r#"[{"attested":{"condition":"clear","at":[1795504502120,60,42,7]}}]"#
    );
}

#[test]
fn refuses_what_it_does_not_know_by_entry_and_word() {
    let told = |seq: u64, command: &str, events: &str| {
        let raw = |text: &str| RawValue::from_string(text.to_owned()).unwrap();
        let mut entry = entry(seq, raw(command), &[]);
        entry.events = raw(events);
        understand(&entry).unwrap_err().to_string()
    };
    let commands = [
        (r#"{"weld":{}}"#, "weld"),
        (r#"{"confirm":{"twice":true}}"#, "twice"),
        (r#"{"repeat":{"step":"Bad Id"}}"#, "Bad Id"),
        (
            r#"{"read":{"reading":"a","entry":{"typed":"1","value":{"k":"luck","si":1.0}}}}"#,
            "luck",
        ),
        (
            r#"{"read":{"reading":"a","entry":{"typed":"1","value":{"k":"length","si":"1"}}}}"#,
            "not a finite number",
        ),
        (
            r#"{"read":{"reading":"a","entry":{"typed":"1","value":{"k":"length","si":1e999}}}}"#,
            "not a finite number",
        ),
        (r#"{"sign_on":{"by":" Ann"}}"#, "space"),
        (r#"{"confirm":{},"begin":{}}"#, ""),
    ];
    for (command, word) in commands {
        let sentence = told(5, command, "[]");
        assert!(
            sentence.contains("Entry 5") && sentence.contains(word),
            "{sentence}"
        );
    }
    let sentence = told(6, r#"{"confirm":{}}"#, r#"[{"welded":{}}]"#);
    assert!(sentence.contains("Entry 6: what came of it"), "{sentence}");
    let later = told(0, r#"{"format":"levelhand journal 2","new":1}"#, "[]");
    assert!(later.contains("levelhand journal 2"), "{later}");
}
