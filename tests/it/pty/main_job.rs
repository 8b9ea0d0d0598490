//! The whole main job, typed to its end as a person would type it: the answers
//! come from the rehearsal of the normal run, the keys from what the screen asks.
//!
//! Only times differ from the shipped documents: nobody waits minutes here. They
//! are changed in copies of the shop's own; the program knows nothing of it.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::thread::sleep;
use std::time::{Duration, Instant};

use levelhand::document;
use levelhand::procedure::{Procedure, Step};
use serde_json::Value;

use super::hand::ENTER;
use super::shop::Shop;
use super::terminal::{SOON, Start, Terminal};

fn shipped(path: &str) -> Value {
    let place = PathBuf::from(env!("CARGO_MANIFEST_DIR"))
        .join("procedures")
        .join(path);
    serde_json::from_slice(&std::fs::read(place).unwrap()).unwrap()
}

/// Changes a time that is there.
fn shorten(document: &mut Value, pointer: &str, to: &str) {
    let time = document.pointer_mut(pointer).unwrap();
    assert!(time.as_str().unwrap().ends_with("min"), "{pointer}: {time}");
    *time = to.into();
}

/// The shop, with the main job's waits as seconds.
fn quick() -> (Shop, Procedure) {
    let shop = Shop::empty();
    let mut procedure = shipped("ride_height.json");
    shorten(
        &mut procedure,
        "/conditions/leak_watch_running/series/every",
        "4 s",
    );
    let mut sheet = shipped("sheets/bw_07.json");
    sheet["id"] = "bw_07_quick".into();
    shorten(&mut sheet, "/values/leak_settle/value", "2 s");
    shorten(&mut sheet, "/values/leak_time/value", "16 s");
    let text = procedure.to_string();
    shop.document_released("procedure", "ride_height.json", &text);
    shop.document_released("sheet", "bw_07_quick.json", &sheet.to_string());
    // Two keys in turn everywhere: the same on every machine.
    shop.settings(r#"{"format":1,"turns":true}"#);
    let loaded = document::procedure("ride_height.json", text.as_bytes());
    (shop, loaded.value.unwrap())
}

fn titled(t: &Terminal, title: &str) -> bool {
    let title = title.to_uppercase();
    // The place may stand beside it.
    let beside = format!("{title}  ");
    t.rows()
        .iter()
        .any(|row| row.trim() == title || row.trim().starts_with(&beside))
}

/// Whether a label that may have been cut is this text; a value of the sheet in
/// it may be anything.
fn labels(label: &str, text: &str) -> bool {
    let text = text.split("{sheet ").next().unwrap_or(text);
    let label = label.trim().trim_end_matches('…').trim_end();
    !label.is_empty() && (text.starts_with(label) || label.starts_with(text))
}

/// Whether the focus is on the same thing still, whatever is typed there.
fn same(a: &str, b: &str) -> bool {
    let field = a.contains("  ");
    let count = if field { 38 } else { 99 };
    a.chars().take(count).eq(b.chars().take(count))
}

struct Walk<'a> {
    t: &'a Terminal,
    procedure: &'a Procedure,
    step: &'a Step,
    answers: &'a Value,
    due: &'a mut BTreeMap<String, String>,
}

impl Walk<'_> {
    /// Answers what the focus is on.
    fn answer(&mut self, focus: &str) {
        let t = self.t;
        let asks = focus.trim_start_matches([' ', '>']);
        if asks.is_empty() {
            return self.choose();
        }
        let enter = ["Move it now", "Enter: start the clock", "Enter: go on"];
        if enter.iter().any(|words| asks.starts_with(words)) {
            t.send(ENTER);
        } else if asks.starts_with("Confirm") {
            t.take_turns();
        } else if asks.starts_with("the clock runs") {
            sleep(Duration::from_millis(50));
        } else if asks.starts_with("look again") || asks.starts_with("again") {
            t.send("y");
        } else if let Some(text) = asks.strip_prefix("· ") {
            self.tick(text);
        } else {
            self.read(asks);
        }
    }

    fn tick(&self, text: &str) {
        let text = text.split("   ").next().unwrap();
        let ticks = &self.step.ticks;
        let exact = ticks.iter().find(|tick| tick.text == text.trim());
        let tick = exact.or_else(|| ticks.iter().find(|tick| labels(text, &tick.text)));
        let tick = tick.unwrap_or_else(|| panic!("no tick {text:?}\n{}", self.t.framed()));
        let given = &self.answers["ticks"];
        let given = given.get(tick.id.as_str()).unwrap_or(&given["*"]);
        let key = match tick.yes.chars().next().unwrap().to_ascii_lowercase() {
            'q' | 'd' => 'y',
            first => first,
        };
        self.t.send(&key.to_string());
        if tick.words {
            self.t.wait("IN WORDS");
            self.t.enter(given["yes"].as_str().unwrap());
            self.t.until("the step again", |t| !t.shows("IN WORDS"));
        }
    }

    fn read(&mut self, label: &str) {
        let due = label.strip_prefix("due now: ");
        let label: String = due.unwrap_or(label).chars().take(34).collect();
        let label = label.split("   ").next().unwrap();
        let readings = &self.procedure.readings;
        let mut known = readings.iter().filter(|(id, _)| match due {
            Some(_) => self.due.contains_key(id.as_str()),
            None => self.answers["read"].get(id.as_str()).is_some(),
        });
        let found = known.find(|(_, reading)| labels(label, &reading.title));
        let (id, _) = found.unwrap_or_else(|| panic!("no reading {label:?}\n{}", self.t.framed()));
        let value = match due {
            Some(_) => self.due[id.as_str()].clone(),
            None => self.answers["read"][id.as_str()]
                .as_str()
                .unwrap()
                .to_owned(),
        };
        self.t.enter(&value);
    }

    fn choose(&self) {
        if self.step.choices().is_empty() {
            // Time must pass; what it brings comes into focus by itself.
            return sleep(Duration::from_millis(50));
        }
        let wanted = self.answers["choose"].as_str();
        let choices = self.step.choices();
        let choice = choices.iter().find(|c| Some(c.id.as_str()) == wanted);
        let choice = choice.unwrap_or_else(|| panic!("nothing in focus\n{}", self.t.framed()));
        let text = choice.text.split("{sheet ").next().unwrap();
        let start: String = text.chars().take(40).collect();
        self.t.go_to(&start);
        self.t.send(ENTER);
        self.t
            .until("the choice taken", |t| !t.focus().contains(&start));
    }
}

/// Answers one step until the next one is there.
fn pass(mut walk: Walk<'_>, next: Option<&Step>) {
    let t = walk.t;
    let over = |t: &Terminal| match next {
        Some(next) => titled(t, &next.title) && !titled(t, &walk.step.title),
        None => t.shows("The job is complete"),
    };
    t.until(&format!("the step {:?}", walk.step.title), |t| {
        titled(t, &walk.step.title)
    });
    let from = Instant::now();
    while !over(t) {
        let focus = t.settled();
        let screen = t.text();
        if over(t) {
            return;
        }
        assert!(
            !focus.contains("not as it must be") && !screen.contains(" ! "),
            "{}",
            t.framed()
        );
        assert!(from.elapsed() < 3 * SOON, "{}", t.framed());
        walk.answer(&focus);
        let answered = Instant::now();
        // Lost to an entry still on its way: asked for again.
        while same(&t.focus(), &focus) && !over(t) && answered.elapsed() < Duration::from_secs(2) {
            sleep(Duration::from_millis(4));
        }
    }
}

#[test]
fn the_main_job_is_typed_to_its_end() {
    let (shop, procedure) = quick();
    let script = shipped("rehearsals/rh_normal_bw_07.json");
    let moves = script["moves"].as_array().unwrap();
    let step = |id: &Value| {
        let found = procedure
            .steps
            .iter()
            .find(|s| Some(s.id.as_str()) == id.as_str());
        found.unwrap_or_else(|| panic!("no step {id}"))
    };
    let t = Start::new(shop.path()).size(99, 50).go();
    t.open_job("Ride height, drive axle");
    let mut due = BTreeMap::new();
    for (n, answers) in moves.iter().enumerate() {
        for point in answers["series"].as_array().into_iter().flatten() {
            for (id, value) in point["read"].as_object().unwrap() {
                due.insert(id.clone(), value.as_str().unwrap().to_owned());
            }
        }
        let walk = Walk {
            t: &t,
            procedure: &procedure,
            step: step(&answers["at"]),
            answers,
            due: &mut due,
        };
        pass(walk, moves.get(n + 1).map(|next| step(&next["at"])));
    }
    t.wait("Nothing is owed");
    let (code, words) = shop.verified();
    assert_eq!(code, Some(0), "{words}");
}
