//! Every demand that a procedure can make, taken away: each is named once, and putting
//! it back asks no less.

use std::collections::BTreeSet;

use levelhand::document;
use levelhand::procedure::Procedure;
use levelhand::revision::compare_sheets;
use serde_json::{Value, json};

use super::{edited, procedure, sheet, shrank};

const BASE: &str = include_str!("../../documents/valid/base.json");

/// A demand of the base, or of the base with something put into it first.
struct Row {
    /// The one name that it has.
    name: &'static str,
    /// What is put in first.
    first: Vec<(&'static str, Value)>,
    /// What is taken away or weakened, and what stands there then.
    at: &'static str,
    to: Value,
    /// What counts as less on the way back; mostly nothing.
    back: &'static [&'static str],
}

fn row(name: &'static str, at: &'static str, to: Value) -> Row {
    Row {
        name,
        first: Vec::new(),
        at,
        to,
        back: &[],
    }
}

impl Row {
    fn with(mut self, at: &'static str, value: Value) -> Self {
        self.first.push((at, value));
        self
    }

    /// Neither revision is known to ask as much as the other.
    fn less_both_ways(mut self, back: &'static [&'static str]) -> Self {
        self.back = back;
        self
    }
}

fn gone(name: &'static str, at: &'static str) -> Row {
    row(name, at, Value::Null)
}

/// What single steps ask.
fn of_steps() -> Vec<Row> {
    vec![
        gone("need:refit:chocked", "/phases/0/steps/9/needs")
            .with("/phases/0/steps/9/needs", json!(["chocked"])),
        gone("act:refit:tidy", "/phases/0/steps/9/acts")
            .with("/acts/tidy", json!({"title": "tidy up"}))
            .with("/phases/0/steps/9/acts", json!(["tidy"])),
        gone("hazard:gate:crush", "/phases/0/steps/3/hazards")
            .with("/phases/0/steps/3/hazards", json!(["crush"])),
        gone("clear:leaks_end:watch", "/phases/0/steps/8/clears")
            .with("/phases/0/steps/8/clears", json!(["watch"])),
        gone("duty:chock:refit", "/phases/0/steps/0/incurs"),
        gone("duty:seen:bent:refit", "/phases/1/steps/0/choices/0/incurs")
            .with("/phases/1/steps/0/choices/0/incurs", json!(["refit"])),
        gone("change:refit:height", "/phases/0/steps/9/changes")
            .with("/phases/0/steps/9/changes", json!(["height"])),
        gone("tick:chock:hubs", "/phases/0/steps/0/ticks/1").with(
            "/phases/0/steps/0/ticks/-",
            json!({"id": "hubs", "text": "hubs"}),
        ),
        gone("words:chock:both", "/phases/0/steps/0/ticks/0/words")
            .with("/phases/0/steps/0/ticks/0/words", json!(true)),
        row(
            "does_not_apply:refit:on",
            "/phases/0/steps/9/ticks/0/may_not_apply",
            json!(true),
        )
        .with(
            "/phases/0/steps/9/ticks",
            json!([{"id": "on", "text": "mudguards"}]),
        ),
        gone("reading:leaks:leak", "/phases/0/steps/7/take"),
        gone("step:leaks", "/phases/0/steps/7"),
        row("tries:measure", "/phases/0/steps/5/tries", json!(4)),
        row(
            "tries:seen:right",
            "/phases/1/steps/0/choices/1/tries",
            json!(3),
        ),
        row(
            "way:measure:fail",
            "/phases/0/steps/5/ways/fail",
            json!("write"),
        )
        .with("/phases/0/steps/5/ways/too_close", json!("seen")),
        row(
            "choice_way:seen:bent",
            "/phases/1/steps/0/choices/0/to",
            json!("measure"),
        ),
        row("look:which", "/phases/0/steps/1/by_sheet", json!("brake"))
            .with("/phases/0/steps/1/by_sheet", Value::Null),
        row(
            "kind:refit",
            "/phases/0/steps/9",
            json!({"id": "refit", "title": "Mudguards back", "choices": [
                {"id": "yes", "text": "back", "to": "done"}, {"id": "no", "text": "off", "to": "done"}]}),
        )
        .less_both_ways(&["kind:refit"]),
        row("end:done", "/phases/2/steps/0/end", json!("handed_over")).with(
            "/phases/2/steps/-",
            json!({"id": "done_too", "title": "Done too", "end": "complete", "needs": ["chocked"]}),
        ),
    ]
}

/// How steps are confirmed.
fn of_confirms() -> Vec<Row> {
    let (gate, write) = ("/phases/0/steps/3/confirm", "/phases/0/steps/6/confirm");
    let refit = "/phases/0/steps/9/confirm";
    let hold = |level: &str, time: &str| json!({"hold": level, "for": time});
    let wait = |least: &str, most: &str| json!({"wait": {"at_least": least, "at_most": most}});
    let pulse =
        |within: &str, presses: u8| json!({"pulse": {"within": within, "presses": presses}});
    vec![
        row("hold:refit", refit, json!("enter")).with(refit, json!({"hold": "caution"})),
        row("hold_level:gate", gate, hold("caution", "3 s")).with(gate, hold("danger", "3 s")),
        row("hold_time:gate", gate, hold("danger", "3 s")).with(gate, hold("danger", "4 s")),
        row(
            "confirm:write",
            "/phases/0/steps/6",
            json!({"id": "write", "title": "Keep pressing", "confirm": "enter"}),
        ),
        row("pulse:write", write, pulse("2 s", 11)).with(write, pulse("2 s", 12)),
        row("pulse:write", write, pulse("3 s", 12)).with(write, pulse("2 s", 12)),
        row("wait:write", write, wait("4 min", "9 min")).with(write, wait("5 min", "9 min")),
        row("wait_most:write", write, wait("5 min", "10 min")).with(write, wait("5 min", "9 min")),
    ]
}

/// Limits, in steps and in what is asked again.
fn of_limits() -> Vec<Row> {
    let limit = json!({"of": "leak", "at_least": "6 bar", "rule": "guarded", "grade": "interlock",
        "why": "Less leaks."});
    let asked = |row: Row| {
        row.with("/conditions/key_out/ask_reading", json!("leak"))
            .with("/conditions/key_out/ask_limits", json!([limit]))
    };
    vec![
        gone("limit:measure:left-right", "/phases/0/steps/5/limits/1"),
        row(
            "limit:measure:left-right",
            "/phases/0/steps/5/limits/1/differ_by_at_most",
            json!("4 mm"),
        ),
        row(
            "limit:measure:left",
            "/phases/0/steps/5/limits/0/near",
            json!("sheet:ride_tolerance"),
        )
        .less_both_ways(&["limit:measure:left"]),
        row(
            "grade:measure:left",
            "/phases/0/steps/5/limits/0/grade",
            json!("advice"),
        ),
        row(
            "rule:measure:left",
            "/phases/0/steps/5/limits/0/rule",
            json!("simple"),
        ),
        row(
            "limit:leaks_end:age_of_watch",
            "/phases/0/steps/8/limits/0/age_at_least",
            json!("5 min"),
        ),
        asked(gone(
            "ask_limit:key_out:leak",
            "/conditions/key_out/ask_limits",
        )),
        asked(row(
            "ask_limit:key_out:leak",
            "/conditions/key_out/ask_limits/0/at_least",
            json!("5 bar"),
        )),
        asked(row(
            "ask_grade:key_out:leak",
            "/conditions/key_out/ask_limits/0/grade",
            json!("advice"),
        )),
        asked(row(
            "ask_rule:key_out:leak",
            "/conditions/key_out/ask_limits/0/rule",
            json!("simple"),
        )),
        gone("ask_reading:key_out", "/conditions/key_out/ask_reading")
            .with("/conditions/key_out/ask_reading", json!("leak")),
    ]
}

/// What is declared for all steps.
fn of_declarations() -> Vec<Row> {
    vec![
        row("safe:chocked", "/safe", json!([])),
        row("lasts:watch", "/conditions/watch/lasts", json!("2 h")),
        gone("ask:clear", "/conditions/clear/ask"),
        gone("by:on_air", "/conditions/on_air/by"),
        row("series:watch", "/conditions/watch/series/points", json!(5)),
        row(
            "series:watch",
            "/conditions/watch/series/every",
            json!("3 min"),
        ),
        gone("series:key_out", "/conditions/key_out/series").with(
            "/conditions/key_out/series",
            json!({"readings": ["leak"], "every": "2 min", "points": 6}),
        ),
        gone("exclusive:at_rest+on_air", "/exclusive"),
        row("signal:crush", "/hazards/crush/signal", json!("warning")),
        gone("hazard_need:crush:chocked", "/hazards/crush/needs/1"),
        gone("act_need:raise:key_out", "/acts/raise/needs")
            .with("/acts/raise/needs", json!(["key_out"])),
        gone("act_hazard:raise:noise", "/acts/raise/hazards/1")
            .with(
                "/hazards/noise",
                json!({"signal": "caution", "title": "Air blows off.", "consequence": "It is loud.",
                    "avoid": "Cover your ears."}),
            )
            .with("/acts/raise/hazards/-", json!("noise")),
        gone("act_clear:raise:watch", "/acts/raise/clears"),
        gone("act_change:raise:height", "/acts/raise/changes")
            .with("/acts/raise/changes", json!(["height"])),
        gone("moves:raise", "/acts/raise/moves"),
        row(
            "stop_card:work",
            "/phases/0/stop_card",
            json!(["Keep clear."]),
        )
        .with("/phases/0/stop_card", json!(["Keep clear.", "Chock it."])),
    ]
}

/// What is read and worked out.
fn of_values() -> Vec<Row> {
    vec![
        row("reading_kind:gap", "/readings/gap/kind", json!("angle"))
            .with("/readings/gap", json!({"title": "gap", "kind": "length"}))
            .less_both_ways(&["reading_kind:gap"]),
        gone("witness:right", "/readings/right/witness")
            .with("/readings/right/witness", json!(true)),
        gone("zero_check:leak", "/readings/leak/zero_check")
            .with("/readings/leak/zero_check", json!(true)),
        gone("instrument:right", "/readings/right/with"),
        row("setting:left", "/readings/left/when", json!("as_found"))
            .less_both_ways(&["setting:left"]),
        gone("plausible:left", "/readings/left/plausible"),
        row(
            "working:lean",
            "/workings/lean/from",
            json!(["value:right", "value:left"]),
        )
        .less_both_ways(&["working:lean"]),
    ]
}

fn rows() -> Vec<Row> {
    let rows = [
        of_steps(),
        of_confirms(),
        of_limits(),
        of_declarations(),
        of_values(),
    ];
    rows.into_iter().flatten().collect()
}

#[test]
fn each_demand_that_is_taken_away_is_named_once_and_putting_it_back_shrinks_nothing() {
    let mut wrong = Vec::new();
    for row in rows() {
        let put = |text: String, (at, value): &(&str, Value)| edited(&text, at, value);
        let before = row.first.iter().fold(BASE.to_owned(), put);
        let after = edited(&before, row.at, &row.to);
        let place = format!("{} at {}", row.name, row.at);
        let loaded = [&before, &after].map(|text| document::procedure("p", text.as_bytes()));
        let [Some(old), Some(new)] = loaded.each_ref().map(|loaded| loaded.value.as_ref()) else {
            let found = loaded.iter().flat_map(|l| &l.findings).map(|f| &f.sentence);
            wrong.push(format!(
                "{place} can't be read: {found:?}",
                found = found.collect::<Vec<_>>()
            ));
            continue;
        };
        let (there, back) = (shrank(old, new), shrank(new, old));
        if there != [row.name] || back != row.back {
            wrong.push(format!("{place}: {there:?}, and on the way back {back:?}"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn an_act_that_no_longer_names_a_need_which_its_hazard_has_asks_no_less() {
    let before = edited(BASE, "/acts/raise/needs", &json!(["chocked"]));
    assert_eq!(
        shrank(&procedure(&before), &procedure(BASE)),
        Vec::<String>::new()
    );
}

/// The base with a working that a value of the sheet goes into, and a limit on it, or on
/// another that is made of it, or on neither.
fn worked(limited: Option<&str>) -> Procedure {
    let datum = edited(BASE, "/sheet/datum", &json!({"kind": "length"}));
    let working = |title: &str, from: [&str; 2]| json!({"title": title, "sum": "difference", "from": from, "for": "record"});
    let over = working("left over the datum", ["value:left", "sheet:datum"]);
    let more = working("over the right", ["value:over", "value:right"]);
    let text = edited(&datum, "/workings/over", &over);
    let put = |text: &str, work: Value| edited(text, "/phases/0/steps/5/work", &work);
    let Some(of) = limited else {
        return procedure(&put(&text, json!(["lean", "over"])));
    };
    let text = edited(&text, "/workings/more", &more);
    let text = put(&text, json!(["lean", "over", "more"]));
    let limit = json!({"of": of, "at_most": "5 mm", "rule": "simple", "grade": "advice",
        "why": "More is too high."});
    procedure(&edited(&text, "/phases/0/steps/5/limits/-", &limit))
}

#[test]
fn a_value_of_a_sheet_that_goes_into_a_working_counts_where_a_limit_rests_on_it() {
    let base = include_str!("../../documents/valid/base.sheet.json");
    let datum = |value: &str| {
        let datum = json!({"title": "datum", "value": value});
        sheet(&edited(base, "/values/datum", &datum))
    };
    let names = |limited: Option<&str>, to: &str| -> Vec<String> {
        let changes = compare_sheets(&datum("10 mm"), &datum(to), [&worked(limited)]);
        changes.shrank().map(|c| c.name.clone()).collect()
    };
    // Which way the limit moves with it nobody can tell.
    for to in ["9 mm", "11 mm"] {
        assert_eq!(names(Some("over"), to), ["value:datum"], "{to}");
        assert_eq!(
            names(Some("more"), to),
            ["value:datum"],
            "{to}, through another"
        );
        assert_eq!(names(None, to), Vec::<String>::new(), "{to}, kept only");
    }
    assert_eq!(names(Some("over"), "10 mm"), Vec::<String>::new());
}

#[test]
fn every_sort_of_demand_that_comparing_can_name_is_in_the_table() {
    let home = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/revision");
    let mut named: BTreeSet<String> = BTreeSet::new();
    for file in std::fs::read_dir(home).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        named.extend(sorts(&text));
    }
    // Named through a variable, or of a sheet, which has tests of its own.
    let apart = ["{name}", "{title}", "value"];
    named.retain(|sort| !apart.contains(&sort.as_str()));
    assert!(named.len() > 30, "{named:?}");
    let table: BTreeSet<String> = rows()
        .iter()
        .map(|row| row.name.split(':').next().unwrap().to_owned())
        .collect();
    let missing: Vec<_> = named.difference(&table).collect();
    assert!(missing.is_empty(), "no row takes away: {missing:?}");
}

/// The sorts of demands that a file of the comparison may call shrunk: the first
/// words in quotes behind each place that does.
fn sorts(text: &str) -> Vec<String> {
    let mut found = Vec::new();
    for call in ["changes.less(", "changes.either(", "changes.leads("] {
        for behind in text.split(call).skip(1) {
            let end = behind.find(';').unwrap_or(behind.len());
            let word = behind[..end].split('"').nth(1).unwrap_or("");
            let sort = word.split(':').next().unwrap_or("");
            let a_sort = |c: char| c.is_ascii_lowercase() || c == '_' || c == '{' || c == '}';
            if !sort.is_empty() && sort.chars().all(a_sort) {
                found.push(sort.to_owned());
            }
        }
    }
    found
}
