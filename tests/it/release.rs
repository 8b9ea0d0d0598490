//! Two revisions compared, jobs looked back at, and documents released: what shrank is
//! named, nothing unsafe is let through, and everything in the way is said.

mod demand;
mod past;

use std::path::Path;
use std::process::Output;

use levelhand::document;
use levelhand::procedure::{Procedure, Sheet};
use levelhand::revision::{compare_instruments, compare_procedures, compare_sheets};
use serde_json::{Value, json};

use crate::program::run_in;

const JOB: &str = include_str!("../shop/small_job.json");
const SHEET: &str = include_str!("../shop/small_sheet.json");
const BENCH: &str = include_str!("../shop/small_bench.json");
const STRAIGHT: &str = include_str!("../shop/sj_straight.json");

/// The small job with one place changed; `null` takes it out.
fn edited(text: &str, pointer: &str, to: &Value) -> String {
    let mut document: Value = serde_json::from_str(text).unwrap();
    let (above, last) = pointer.rsplit_once('/').unwrap();
    let above = document.pointer_mut(above).unwrap();
    match (above, to) {
        (Value::Array(list), Value::Null) => {
            list.remove(last.parse().unwrap());
        }
        (Value::Array(list), to) if last == "-" => list.push(to.clone()),
        (Value::Array(list), to) => list[last.parse::<usize>().unwrap()] = to.clone(),
        (Value::Object(map), Value::Null) => {
            map.remove(last).unwrap();
        }
        (Value::Object(map), to) => {
            map.insert(last.to_owned(), to.clone());
        }
        (other, _) => panic!("{pointer} leads into {other}"),
    }
    document.to_string()
}

/// A procedure, errors or not: comparing asks only that it can be read.
fn procedure(text: &str) -> Procedure {
    let loaded = document::procedure("p", text.as_bytes());
    let findings: Vec<_> = loaded.findings.iter().map(|f| f.sentence.clone()).collect();
    loaded.value.unwrap_or_else(|| panic!("{findings:#?}"))
}

fn sheet(text: &str) -> Sheet {
    document::sheet("s", text.as_bytes()).value.unwrap()
}

fn shrank(old: &Procedure, new: &Procedure) -> Vec<String> {
    let changes = compare_procedures(old, new);
    changes.shrank().map(|c| c.name.clone()).collect()
}

#[test]
fn a_hold_that_is_weaker_or_shorter_or_gone_is_named() {
    let old = procedure(JOB);
    let gate = "/phases/0/steps/2/confirm";
    let weaker = procedure(&edited(JOB, gate, &json!({"hold": "caution"})));
    assert_eq!(shrank(&old, &weaker), ["hold_level:gate", "hold_time:gate"]);
    let lift = "/phases/0/steps/3/confirm";
    let stronger = procedure(&edited(JOB, lift, &json!({"hold": "danger"})));
    assert_eq!(shrank(&old, &stronger), Vec::<String>::new());
}

#[test]
fn a_step_that_only_has_another_name_is_renamed_and_nothing_shrinks() {
    let text = JOB.replace("\"read_supply\"", "\"look_at_the_supply\"");
    let (old, new) = (procedure(JOB), procedure(&text));
    let changes = compare_procedures(&old, &new);
    let names: Vec<&str> = changes.other().map(|c| c.name.as_str()).collect();
    assert_eq!(
        (changes.shrank().count(), names),
        (0, vec!["renamed:read_supply"])
    );
}

#[test]
fn a_step_that_is_gone_takes_its_demands_with_it_and_says_which() {
    let text = edited(JOB, "/phases/0/steps/1", &Value::Null);
    let (old, new) = (procedure(JOB), procedure(&text));
    let changes = compare_procedures(&old, &new);
    let gone: Vec<_> = changes.shrank().collect();
    assert_eq!(gone.len(), 1);
    assert_eq!(gone[0].name, "step:read_supply");
    assert!(
        gone[0].sentence.contains("1 reading, 1 limit"),
        "{}",
        gone[0].sentence
    );
}

#[test]
fn a_fail_that_leads_on_as_if_it_had_passed_counts_as_less() {
    let text = edited(JOB, "/phases/0/steps/1/ways/fail", &json!("gate"));
    assert_eq!(
        shrank(&procedure(JOB), &procedure(&text)),
        ["way:read_supply:fail"]
    );
}

#[test]
fn a_tick_whose_good_answer_becomes_another_word_or_the_bad_one_is_named() {
    let old = procedure(JOB);
    let tick = "/phases/0/steps/3/ticks/0";
    let with = |yes: &str, no: &str| {
        let tick_is = json!({"id": "still", "text": "frame", "yes": yes, "no": no});
        compare_procedures(&old, &procedure(&edited(JOB, tick, &tick_is)))
    };
    let exchanged = with("moving", "still");
    let told: Vec<_> = exchanged
        .shrank()
        .map(|c| (&*c.name, &*c.sentence))
        .collect();
    assert_eq!(
        told,
        [(
            "tick:lift:still",
            "\"Raise the frame\": the answers to \"frame\" are exchanged: \"moving\" was the bad answer and lets the step pass now; \"still\" was the good one and is the bad one now."
        )]
    );
    let names = |changes: &levelhand::revision::Changes| -> Vec<String> {
        changes.shrank().map(|c| c.name.clone()).collect()
    };
    assert_eq!(names(&with("slow", "moving")), ["tick:lift:still"]);
    assert_eq!(names(&with("moving", "fast")), ["tick:lift:still"]);
    let only_bad = with("still", "creeping");
    assert_eq!(names(&only_bad), Vec::<String>::new());
    assert_eq!(only_bad.other().count(), 1);
}

#[test]
fn a_need_of_the_safe_list_that_an_ordinary_step_drops_is_named() {
    let needing = edited(
        JOB,
        "/phases/0/steps/4/needs",
        &json!(["on_air", "chocked"]),
    );
    let (old, new) = (procedure(&needing), procedure(JOB));
    assert_eq!(shrank(&old, &new), ["need:refit:chocked"]);
    let back = compare_procedures(&new, &old);
    let names: Vec<&str> = back.other().map(|c| c.name.as_str()).collect();
    assert_eq!(names, ["new_need:refit:chocked"]);
    // At an end the list asks for it all the same.
    let end = edited(JOB, "/phases/1/steps/0/needs", &Value::Null);
    assert_eq!(
        shrank(&procedure(JOB), &procedure(&end)),
        Vec::<String>::new()
    );
}

#[test]
fn a_bad_outcome_that_leaves_the_stop_route_or_comes_nearer_to_the_pass_counts_as_less() {
    let spent = "/phases/0/steps/2/ways/spent";
    let leaves = procedure(&edited(JOB, spent, &json!("chock")));
    assert_eq!(shrank(&procedure(JOB), &leaves), ["way:gate:spent"]);
    // From the lift a fail led to the gate; now it skips it.
    let nearer = procedure(&edited(JOB, "/phases/0/steps/3/ways/fail", &json!("lift")));
    assert_eq!(shrank(&procedure(JOB), &nearer), ["way:lift:fail"]);
}

#[test]
fn a_bad_outcome_that_leads_further_back_is_told_as_leading_elsewhere() {
    let back = procedure(&edited(JOB, "/phases/0/steps/3/ways/fail", &json!("chock")));
    let changes = compare_procedures(&procedure(JOB), &back);
    assert_eq!(changes.shrank().count(), 0);
    let told: Vec<&str> = changes.leading().map(|c| c.sentence.as_str()).collect();
    assert_eq!(
        told,
        [
            "\"Raise the frame\": \"fail\" leads elsewhere now: from \"Is all clear?\" to \"Chock the wheels\"."
        ]
    );
}

#[test]
fn a_choice_that_leads_to_no_end_any_more_counts_as_less() {
    let to = "/phases/2/steps/0/choices/1/to";
    let old = procedure(&edited(JOB, to, &json!("left_safe")));
    let new = procedure(&edited(JOB, to, &json!("refit")));
    let changes = compare_procedures(&old, &new);
    let told: Vec<_> = changes.shrank().map(|c| (&*c.name, &*c.sentence)).collect();
    assert_eq!(
        told,
        [(
            "choice_way:safe_look:up",
            "\"Where does the frame lie?\", \"it hangs on air, wheels chocked\" leads elsewhere now: from \"Left safe\" to \"Put the mudguards back\"."
        )]
    );
}

#[test]
fn a_document_against_itself_has_changed_in_nothing() {
    for built_in in levelhand::cli::shipped::all() {
        use levelhand::cli::shipped::Shelf;
        let same = match built_in.shelf {
            Shelf::Procedure => {
                let it = document::procedure("p", built_in.bytes).value.unwrap();
                compare_procedures(&it, &it).is_empty()
            }
            Shelf::Sheet => {
                let it = document::sheet("s", built_in.bytes).value.unwrap();
                compare_sheets(&it, &it, [&procedure(JOB)]).is_empty()
            }
            Shelf::Instruments => {
                let it = document::instruments("i", built_in.bytes).value.unwrap();
                compare_instruments(&it, &it).is_empty()
            }
            Shelf::Rehearsal
            | Shelf::Truck
            | Shelf::Fault
            | Shelf::Drill
            | Shelf::DrillScript
            | Shelf::Timetable => true,
        };
        assert!(same, "{}", built_in.id);
    }
}

#[test]
fn a_value_of_a_sheet_shrinks_a_demand_only_where_a_limit_lets_more_through() {
    let (old, job) = (sheet(SHEET), procedure(JOB));
    let value = "/values/supply_most/value";
    let more = sheet(&edited(SHEET, value, &json!("9 bar")));
    let less = sheet(&edited(SHEET, value, &json!("8 bar")));
    let names = |new: &Sheet, jobs: &[Procedure]| -> Vec<String> {
        let changes = compare_sheets(&old, new, jobs);
        changes.shrank().map(|c| c.name.clone()).collect()
    };
    assert_eq!(
        names(&more, std::slice::from_ref(&job)),
        ["value:supply_most"]
    );
    assert_eq!(names(&less, &[job]), Vec::<String>::new());
    assert_eq!(
        names(&more, &[]),
        Vec::<String>::new(),
        "no procedure rests on it"
    );
}

/// A shop with the small job's papers in its documents.
struct Shop(tempfile::TempDir);

impl Shop {
    fn new() -> Self {
        let shop = Self(tempfile::tempdir().unwrap());
        let from = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/shop");
        std::fs::create_dir(shop.0.path().join("documents")).unwrap();
        for entry in std::fs::read_dir(from).unwrap() {
            let path = entry.unwrap().path();
            std::fs::copy(
                &path,
                shop.file(path.file_name().unwrap().to_str().unwrap()),
            )
            .unwrap();
        }
        shop
    }

    fn file(&self, name: &str) -> std::path::PathBuf {
        self.0.path().join("documents").join(name)
    }

    fn put(&self, name: &str, text: &str) {
        std::fs::write(self.file(name), text).unwrap();
    }

    fn run(&self, args: &[&str]) -> Output {
        run_in(self.0.path(), ".", args)
    }

    /// Exit code, and everything that was said.
    fn release(&self, name: &str, more: &[&str]) -> (i32, String) {
        let path = format!("documents/{name}");
        let mut args = vec!["release", &path, "--by", "A. Sample"];
        args.extend(more);
        let out = self.run(&args);
        let said = [out.stdout, out.stderr].concat();
        let said = String::from_utf8(said).unwrap();
        (out.status.code().unwrap(), said)
    }

    fn releases(&self) -> usize {
        let text = std::fs::read_to_string(self.0.path().join("released.jsonl"));
        text.map_or(0, |text| text.lines().count())
    }
}

#[test]
fn a_sound_rehearsed_document_is_released_once() {
    let shop = Shop::new();
    let (code, said) = shop.release("small_job.json", &["--because", "first of all"]);
    assert_eq!(code, 0, "{said}");
    assert!(
        said.contains("protected by: front wheels chocked · nobody underneath"),
        "{said}"
    );
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (0, 1), "{said}");
    assert!(said.contains("nothing is added"), "{said}");
    let list = String::from_utf8(shop.run(&["release", "--list"]).stdout).unwrap();
    assert!(
        list.contains("procedure small_job, revision 1: Small job, by A. Sample"),
        "{list}"
    );
    assert!(list.contains("because: first of all"), "{list}");
}

#[test]
fn a_way_that_no_rehearsal_walks_keeps_a_procedure_from_release() {
    let shop = Shop::new();
    std::fs::remove_file(shop.file("sj_lift_spent.json")).unwrap();
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (1, 0));
    assert!(said.contains("lift: spent"), "{said}");
}

#[test]
fn a_rehearsal_that_comes_out_otherwise_keeps_a_procedure_from_release() {
    let shop = Shop::new();
    let script = edited(STRAIGHT, "/moves/1/read/supply", &json!("9.5 bar"));
    shop.put("sj_straight.json", &script);
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (1, 0));
    assert!(
        said.contains("Rehearsals did not come out as written"),
        "{said}"
    );
}

#[test]
fn two_documents_of_one_id_are_both_named_and_nothing_is_played() {
    let shop = Shop::new();
    // The same bytes twice are one document.
    shop.put("small_sheet_2.json", SHEET);
    shop.put("sj_straight_2.json", STRAIGHT);
    let value = "/values/supply_most/value";
    shop.put("other_2.json", &edited(SHEET, value, &json!("9 bar")));
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (2, 0), "{said}");
    assert!(
        said.contains("small_sheet") && said.contains("other_2.json"),
        "{said}"
    );
    assert!(said.contains("they differ"), "{said}");
    std::fs::remove_file(shop.file("other_2.json")).unwrap();
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (0, 1), "{said}");
}

#[test]
fn two_rehearsals_of_one_id_are_both_named_and_nothing_is_played() {
    let shop = Shop::new();
    let other = edited(STRAIGHT, "/title", &json!("Another one"));
    shop.put("sj_other.json", &other);
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (2, 0), "{said}");
    assert!(
        said.contains("sj_straight.json") && said.contains("sj_other.json"),
        "{said}"
    );
    let files = ["documents/sj_straight.json", "documents/sj_other.json"];
    let out = shop.run(&["rehearse", files[0], files[1]]);
    let said = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(2), "{said}");
    assert!(said.contains(files[0]) && said.contains(files[1]), "{said}");
}

#[test]
fn rehearsing_without_a_rehearsal_says_why_nothing_was_played() {
    let shop = Shop::new();
    let out = shop.run(&["rehearse", "documents/small_job.json"]);
    let said = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(1));
    assert!(said.contains("Nothing was played"), "{said}");
}

#[test]
fn an_act_that_nothing_protects_is_said_in_capitals_with_the_warnings() {
    let shop = Shop::new();
    let bare = edited(JOB, "/acts/chock", &json!({"title": "chock the wheels"}));
    let bare = edited(&bare, "/phases/0/steps/0/acts", &json!(["chock"]));
    let bare = edited(&bare, "/sheet/spare", &json!({"kind": "length"}));
    shop.put("small_job.json", &bare);
    let (_, said) = shop.release("small_job.json", &[]);
    let capitals = said.find("NOTHING PROTECTS PEOPLE HERE: chock the wheels (chock), done in ");
    let warnings = said.find("WARNING");
    let list = said.find("Read this before you sign");
    assert!(warnings.is_some() && warnings < capitals, "{said}");
    assert!(capitals.is_some() && capitals < list, "{said}");
}

#[test]
fn a_document_with_errors_is_not_released() {
    let shop = Shop::new();
    shop.put(
        "small_job.json",
        &edited(JOB, "/acts/raise/hazards/0", &json!("crash")),
    );
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!((code, shop.releases()), (1, 0));
    assert!(said.contains("has errors"), "{said}");
}

#[test]
fn a_demand_that_shrank_is_released_only_by_its_name_and_with_a_reason() {
    let shop = Shop::new();
    assert_eq!(shop.release("small_job.json", &[]).0, 0);
    let weaker = edited(JOB, "/phases/0/steps/4/needs", &Value::Null);
    shop.put("small_job.json", &weaker);
    let (code, said) = shop.release(
        "small_job.json",
        &["--shrunk", "need:refit:on_air=it may lie"],
    );
    assert_eq!(code, 1, "the revision is the same: {said}");
    assert!(said.contains("Give it \"revision\": 2."), "{said}");
    shop.put("small_job.json", &edited(&weaker, "/revision", &json!(2)));
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("--shrunk 'need:refit:on_air=REASON'"),
        "{said}"
    );
    let (code, said) = shop.release(
        "small_job.json",
        &["--shrunk", "need:refit:on_ari=it may lie"],
    );
    assert_eq!(code, 1, "{said}");
    assert!(said.contains("Did you mean need:refit:on_air?"), "{said}");
    assert_eq!(
        shop.release("small_job.json", &["--shrunk", "need:refit:on_air="])
            .0,
        2
    );
    assert_eq!(shop.releases(), 1);
    let (code, said) = shop.release(
        "small_job.json",
        &["--shrunk", "need:refit:on_air=it may lie"],
    );
    assert_eq!((code, shop.releases()), (0, 2), "{said}");
    let list = String::from_utf8(shop.run(&["release", "--list"]).stdout).unwrap();
    assert!(
        list.contains("shrank: need:refit:on_air, because: it may lie"),
        "{list}"
    );
    // The first revision is no longer what counts.
    shop.put("small_job.json", JOB);
    assert_eq!(shop.release("small_job.json", &[]).0, 1);
}

#[test]
fn a_built_in_document_needs_no_release_and_its_copy_is_held_against_it() {
    let shop = Shop::new();
    let home = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/sheets/bw_07.json");
    let text = std::fs::read_to_string(home).unwrap();
    shop.put("bw_07.json", &text);
    let (code, said) = shop.release("bw_07.json", &[]);
    assert_eq!((code, shop.releases()), (0, 0), "{said}");
    let wider = edited(&text, "/values/supply_most/value", &json!("11 bar"));
    shop.put("bw_07.json", &edited(&wider, "/revision", &json!(2)));
    let (code, said) = shop.release("bw_07.json", &[]);
    assert_eq!(code, 1, "{said}");
    assert!(
        said.contains("--shrunk 'value:supply_most=REASON'"),
        "{said}"
    );
}

#[test]
fn a_damaged_list_of_releases_is_told_and_takes_no_more() {
    let shop = Shop::new();
    assert_eq!(shop.release("small_sheet.json", &[]).0, 0);
    let path = shop.0.path().join("released.jsonl");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("A. Sample", "B. Sample")).unwrap();
    let (code, said) = shop.release("small_job.json", &[]);
    assert_eq!(code, 4, "{said}");
    assert!(
        said.contains("line 1") && said.contains("altered"),
        "{said}"
    );
    assert_eq!(shop.run(&["release", "--list"]).status.code(), Some(4));
}

#[test]
fn compare_puts_the_demands_that_shrank_first_and_apart() {
    let shop = Shop::new();
    let weaker = edited(JOB, "/phases/0/steps/4/needs", &Value::Null);
    let weaker = edited(
        &weaker,
        "/phases/0/steps/0/title",
        &json!("Chock both wheels"),
    );
    shop.put("new.txt", &weaker);
    let out = shop.run(&["compare", "documents/small_job.json", "documents/new.txt"]);
    assert_eq!(out.status.code(), Some(1));
    insta::assert_snapshot!("compare", String::from_utf8(out.stdout).unwrap());
    let out = shop.run(&["compare", "small_job", "documents/new.txt", "--json"]);
    let told: Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(told["shrank"][0]["name"], "need:refit:on_air");
    assert_eq!(told["changed"][0]["name"], "step_title:chock");
    let same = shop.run(&["compare", "shop:small_job", "small_job"]);
    assert_eq!(same.status.code(), Some(0));
    let kinds = shop.run(&["compare", "small_job", "small_sheet"]);
    assert_eq!(kinds.status.code(), Some(2));
}
