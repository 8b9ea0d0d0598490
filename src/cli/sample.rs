//! A small job for tests: a procedure of eight steps, a sheet, a list of
//! instruments, and a world in memory in which it is done. All invented.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use super::desk::{Desk, Papers, Site, load};
use crate::io::place::Place;
use crate::job::{Answer, Command, Entry, Evidence, Mode, Person, Tier};
use crate::journal::Stamp;
use crate::journal::fault::Memory;
use crate::procedure::{InstrumentId, RoleId, TickId, ValueId};
use crate::quantity::{Kind, Quantity, System, Unit};

pub(crate) const PROCEDURE: &str = r#"{
  "format": "levelhand procedure 1",
  "id": "small_setting", "title": "Small setting", "revision": 3,
  "scope": ["For tests. Nothing of it is real."],
  "sheet": {
    "ride_height": { "kind": "length" }, "ride_within": { "kind": "length" }
  },
  "roles": { "tape": { "title": "tape", "kind": "length" } },
  "conditions": {
    "chocked": { "title": "front wheels chocked", "lasts": "resume", "ask": "Are the front wheels still chocked?" },
    "clear": { "title": "everyone clear", "lasts": "resume", "ask": "Is everyone clear?" },
    "called": { "title": "both sides answered clear", "lasts": "step", "ask": "Did both sides answer clear just now?" }
  },
  "safe": ["clear"],
  "hand_over": "handed",
  "duties": {
    "lamps": { "title": "aim the headlamps", "hand_over": ["The height was changed: aim the lamps."] }
  },
  "settings": { "height": { "title": "ride height" } },
  "readings": {
    "found": { "title": "height before", "kind": "length", "with": "tape", "of": "height", "when": "as_found", "place": "left rear" },
    "left": { "title": "height after", "kind": "length", "with": "tape", "of": "height", "when": "as_left", "place": "left rear" }
  },
  "workings": {
    "change": { "title": "change of height", "sum": "difference", "from": ["value:left", "value:found"], "for": "record" }
  },
  "hazards": {
    "crush": {
      "signal": "danger", "title": "The frame comes down.", "consequence": "Crushed under the frame.",
      "avoid": ["Everyone clear."], "needs": ["clear", "chocked"]
    }
  },
  "acts": {
    "move": { "title": "move the frame", "moves": true, "hazards": ["crush"], "needs": ["called"], "changes": ["height"] }
  },
  "phases": [
    {
      "id": "work", "title": "At the truck", "stop": "clear_now", "stop_card": ["Leave the chocks in."],
      "steps": [
        {
          "id": "arrive", "title": "Chock the front wheels", "place": "front axle",
          "do": ["Chock both front wheels, front and back.", "Walk round, call."],
          "establishes": ["chocked", "clear"],
          "ticks": [
            { "id": "chocks", "text": "front wheels", "yes": "chocked", "no": "free" },
            { "id": "call", "text": "who answered", "yes": "clear", "no": "nobody", "words": true }
          ],
          "confirm": "enter"
        },
        {
          "id": "before", "title": "Read the height as found", "place": "left rear",
          "do": ["Tape straight up, from outside."], "take": ["found"],
          "limits": [
            { "of": "found", "between": ["50 mm", "400 mm"], "rule": "simple", "grade": "advice", "why": "Outside this the tape was read upside down." }
          ],
          "confirm": "none", "tries": 3, "ways": { "fail": "before", "spent": "clear_now" }
        },
        {
          "id": "gate", "title": "Call both sides clear", "do": ["Call. Wait for both answers."],
          "needs": ["clear", "chocked"], "hazards": ["crush"], "establishes": ["called"],
          "ticks": [{ "id": "both", "text": "both sides", "yes": "clear", "no": "silent" }],
          "confirm": { "hold": "danger" }
        },
        {
          "id": "set", "title": "Set the height", "place": "at the control",
          "do": ["Move the frame to its height. Let go."], "acts": ["move"], "incurs": ["lamps"],
          "ticks": [{ "id": "still", "text": "frame", "yes": "still", "no": "moving" }],
          "confirm": { "hold": "caution" }
        },
        {
          "id": "after", "title": "Read the height as left", "place": "left rear",
          "do": ["Tape straight up, from outside."], "take": ["left"], "work": ["change"],
          "limits": [
            { "of": "left", "near": "sheet:ride_height", "within": "sheet:ride_within", "rule": "guarded", "grade": "advice",
              "why": "The lamps are aimed for this height.", "too_close": ["Read with a finer tape."] }
          ],
          "confirm": "enter", "ways": { "fail": "handed" }
        },
        {
          "id": "lamps_now", "title": "Say what becomes of the lamps",
          "choices": [
            { "id": "aimed", "text": "aimed here", "to": "done", "settles": ["lamps"] },
            { "id": "later", "text": "aimed elsewhere", "to": "handed" }
          ]
        },
        { "id": "done", "title": "Done", "end": "complete" }
      ]
    },
    {
      "id": "away", "title": "Handed over", "aside": true, "stop": "clear_now", "stop_card": ["Leave the chocks in."],
      "steps": [{ "id": "handed", "title": "Handed over", "end": "handed_over" }]
    },
    {
      "id": "stop", "title": "Stop work", "aside": true, "route": true, "stop": "clear_now", "stop_card": ["Leave the chocks in."],
      "steps": [
        {
          "id": "clear_now", "title": "Get everyone clear", "do": ["Call everyone out, count heads."],
          "establishes": ["clear"],
          "ticks": [{ "id": "out", "text": "everyone", "yes": "out", "no": "someone there" }],
          "confirm": "enter"
        },
        { "id": "safe", "title": "Made safe", "end": "made_safe" }
      ]
    }
  ]
}
"#;

pub(crate) const SHEET: &str = r#"{
  "format": "levelhand sheet 1",
  "id": "bw_07", "title": "tractor BW-07, Brackwater Haulage (invented)", "revision": 2, "system": "metric",
  "identify": ["Plate: BW-07."], "source": "invented for a test",
  "values": {
    "ride_height": { "title": "ride height", "value": "190 mm" },
    "ride_within": { "title": "allowed either way", "value": "5 mm" }
  }
}
"#;

pub(crate) const INSTRUMENTS: &str = r#"{
  "format": "levelhand instruments 1",
  "id": "bench", "title": "bench (invented)",
  "instruments": [
    { "id": "tape_1", "title": "tape 1", "kind": "length", "span": ["0 mm", "1000 mm"],
      "limit": "0.5 mm", "resolution": "1 mm", "due": "2027-12-31", "for": ["tape"] }
  ]
}
"#;

pub(crate) fn papers() -> Papers {
    Papers {
        procedure: PROCEDURE.as_bytes().to_vec(),
        sheet: SHEET.as_bytes().to_vec(),
        instruments: INSTRUMENTS.as_bytes().to_vec(),
        released: None,
    }
}

/// A world in memory, with a clock that moves 1.5 s at every look and chance
/// that counts.
pub(crate) fn site(disk: &Memory, seed: u64) -> Site {
    let clock = AtomicU64::new(seed * 1_000_000);
    let bits = AtomicU64::new(seed);
    Site::of(
        Place::find(Some(PathBuf::from("/data"))).unwrap(),
        Arc::new(disk.clone()),
        Arc::new(move || {
            let gone = clock.fetch_add(1500, Ordering::Relaxed);
            Stamp {
                wall_ms: 1_795_504_502_120 + gone.cast_signed(),
                offset_min: 60,
                mono_ms: gone,
            }
        }),
        Arc::new(move || Ok(bits.fetch_add(0x0002_3456_789A, Ordering::Relaxed))),
        Arc::new(load),
    )
}

pub(crate) fn person(name: &str) -> Person {
    Person::new(name).unwrap()
}

pub(crate) fn open_command() -> Command {
    let tape = (
        RoleId::new("tape").unwrap(),
        InstrumentId::new("tape_1").unwrap(),
    );
    Command::Open {
        by: person("Ann Lee"),
        with: vec![person("Bo Day")],
        why: "rides low at the rear".to_owned(),
        roles: BTreeMap::from([tape]),
        system: System::Metric,
        earlier: None,
    }
}

pub(crate) fn yes(tick: &str) -> Command {
    Command::Tick {
        tick: TickId::new(tick).unwrap(),
        answer: Answer::Yes(String::new()),
    }
}

pub(crate) fn read(reading: &str, mm: f64) -> Command {
    Command::Read {
        reading: ValueId::new(reading).unwrap(),
        entry: entry(mm),
    }
}

pub(crate) fn entry(mm: f64) -> Entry {
    Entry {
        typed: format!("{mm}"),
        value: Quantity::new(mm, Unit::Millimetre, Kind::Length).unwrap(),
        again: false,
    }
}

pub(crate) fn hold() -> Command {
    Command::Hold(Evidence {
        tier: Tier::Release,
        held_ms: 2_600,
        events: 40,
        median_ms: 33,
        cancels: 1,
        terminal: "xterm-256color".to_owned(),
    })
}

/// The way to the look at the end, without the opening.
pub(crate) fn commands() -> Vec<Command> {
    vec![
        yes("chocks"),
        Command::Tick {
            tick: TickId::new("call").unwrap(),
            answer: Answer::Yes("Bo Day".to_owned()),
        },
        Command::Confirm,
        read("found", 181.5),
        yes("both"),
        hold(),
        yes("still"),
        hold(),
        read("left", 190.5),
        Command::Confirm,
    ]
}

/// A job begun.
pub(crate) fn begun(disk: &Memory, mode: Mode) -> Desk {
    Desk::create(site(disk, 1), mode, &papers(), &open_command()).unwrap()
}

/// A job at its last look.
pub(crate) fn worked(disk: &Memory, mode: Mode) -> Desk {
    let mut desk = begun(disk, mode);
    for command in commands() {
        desk.act(&command)
            .unwrap_or_else(|error| panic!("{command:?}: {error}"));
    }
    desk
}
