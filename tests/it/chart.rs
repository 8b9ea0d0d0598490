//! Pictures and paper of procedures: nothing is left out, nothing lies on anything
//! else, nothing of a document becomes a tag, and what is known is what was proved.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use levelhand::chart::{Chart, Picture, Piece, Shape, dot, form, known, picture, svg};
use levelhand::cli::shipped::{self, Shelf};
use levelhand::document;
use levelhand::procedure::{Body, EndKind, Procedure, Sheet, StepId};
use levelhand::proof::{Proof, prove};

use crate::program::{command, run, text as said};
use crate::twin::random::graph;

const SHIPPED: [&str; 4] = [
    "procedures/ride_height.json",
    "procedures/height_check.json",
    "procedures/bellows_change.json",
    "procedures/sensor_linkage.json",
];
const SMALL: &str = "tests/shop/small_job.json";
const STOP: [&str; 2] = ["Let go of the truck's control.", "Keep clear."];

fn read(path: &str) -> Vec<u8> {
    std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

fn procedure(path: &str) -> Procedure {
    document::procedure(path, &read(path)).value.unwrap()
}

fn sheet(path: &str) -> Sheet {
    document::sheet(path, &read(path)).value.unwrap()
}

fn chart<'a>(procedure: &'a Procedure, proof: &'a Proof) -> Chart<'a> {
    Chart {
        procedure,
        facts: &proof.facts,
        errors: proof.findings.iter().filter(|f| f.is_error()).count(),
        sheet: None,
        sha256: "00000000000000000000000000000000000000000000000000000000000000ff",
        stop: &STOP,
        unfold: false,
        at: None,
    }
}

/// Every way of a procedure as a picture names it, and whether it is drawn when asides
/// are folded.
fn every_way(procedure: &Procedure) -> BTreeMap<String, bool> {
    let phase_of = |id: &StepId| procedure.step(id).map(|s| s.phase);
    let mut ways = BTreeMap::new();
    for step in &procedure.steps {
        let aside = procedure.phases[step.phase].aside;
        let mut add = |key: &str, to: &StepId, stop: bool| {
            let inside = phase_of(to) == Some(step.phase);
            ways.insert(format!("{} {key}", step.id), !(aside && (inside || stop)));
        };
        match &step.body {
            Body::Ordinary { ways, .. } => {
                for (outcome, to) in ways {
                    add(outcome.key(), to, false);
                }
            }
            Body::Look { choices, .. } => {
                for choice in choices {
                    add(choice.id.as_str(), &choice.to, false);
                }
            }
            Body::End(EndKind::Complete) => {
                if let Some(to) = &procedure.hand_over {
                    add("still to repeat", to, false);
                }
            }
            Body::End(_) => {}
        }
        if !matches!(step.body, Body::End(_)) {
            add("stop work", &procedure.phases[step.phase].stop, true);
        }
    }
    ways
}

fn drawn_ways(picture: &Picture) -> BTreeMap<String, usize> {
    let mut count = BTreeMap::new();
    for piece in &picture.pieces {
        if let Piece::Line(line) = piece {
            for way in &line.ways {
                *count.entry(way.clone()).or_insert(0) += 1;
            }
        }
    }
    count
}

fn assert_every_way_once(procedure: &Procedure, chart: &Chart<'_>) {
    let wanted = every_way(procedure).into_iter();
    let wanted: BTreeMap<String, usize> = wanted
        .filter(|(_, folded)| chart.unfold || *folded)
        .map(|(way, _)| (way, 1))
        .collect();
    assert_eq!(drawn_ways(&picture(chart)), wanted, "{}", procedure.id);
}

/// Left, upper, right, lower edge.
type Room = [i32; 4];

fn meet(a: Room, b: Room) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Everything that lies on what it should not lie on.
fn clashes(picture: &Picture) -> Vec<String> {
    let mut words: Vec<(Room, &str)> = Vec::new();
    let mut boxes: Vec<(Room, Shape)> = Vec::new();
    let mut lines: Vec<Room> = Vec::new();
    for piece in &picture.pieces {
        match piece {
            Piece::Text(text) => words.push((text.room(), &text.words)),
            Piece::Frame(f) if !matches!(f.shape, Shape::Band | Shape::Part | Shape::Folded) => {
                boxes.push(([f.x, f.y, f.x + f.w, f.y + f.h], f.shape));
            }
            Piece::Line(line) => {
                for pair in line.points.windows(2) {
                    let (a, b) = (pair[0], pair[1]);
                    let room = [a.0.min(b.0), a.1.min(b.1), a.0.max(b.0), a.1.max(b.1)];
                    // A hair to each side, so that a line along an edge counts too.
                    lines.push([room[0] - 1, room[1] - 1, room[2] + 1, room[3] + 1]);
                }
            }
            Piece::Frame(_) | Piece::Joint(..) => {}
        }
    }
    let whole = [0, 0, picture.width + 1, picture.height + 1];
    let mut found = Vec::new();
    for (n, (room, text)) in words.iter().enumerate() {
        if room[0] < 0 || room[1] < 0 || room[2] >= whole[2] || room[3] >= whole[3] {
            found.push(format!("outside the picture: {text}"));
        }
        for (other, said) in &words[n + 1..] {
            if meet(*room, *other) {
                found.push(format!("words on words: {text} / {said}"));
            }
        }
        if lines.iter().any(|line| meet(*line, *room)) {
            found.push(format!("a line through words: {text}"));
        }
    }
    for (n, (room, shape)) in boxes.iter().enumerate() {
        for (other, second) in &boxes[n + 1..] {
            if meet(*room, *other) {
                found.push(format!("{shape:?} on {second:?} at {room:?}"));
            }
        }
    }
    found
}

/// Tags that open and close as they should, and nothing between them but text and the
/// five entities. Gives the names of all tags.
fn tags(text: &str) -> Vec<String> {
    let mut open: Vec<String> = Vec::new();
    let mut all = Vec::new();
    let mut rest = text;
    while let Some(at) = rest.find('<') {
        let (before, from) = rest.split_at(at);
        assert!(
            !before.contains('>') || open.last().is_some_and(|t| t == "style"),
            "{before}"
        );
        for entity in before.split('&').skip(1) {
            let known = ["lt;", "gt;", "amp;", "quot;", "#39;"];
            assert!(known.iter().any(|k| entity.starts_with(k)), "&{entity}");
        }
        let end = from.find('>').expect("a tag that ends");
        let (tag, after) = from.split_at(end + 1);
        rest = after;
        if tag.starts_with("<?") || tag.starts_with("<!") {
            continue;
        }
        assert!(!tag[1..].contains('<'), "{tag}");
        let name = tag.trim_matches(['<', '>', '/']);
        let name = name.split_whitespace().next().unwrap_or("").to_owned();
        if tag.starts_with("</") {
            assert_eq!(open.pop(), Some(name), "{tag}");
        } else {
            all.push(name.clone());
            if !tag.ends_with("/>") {
                open.push(name);
            }
        }
    }
    assert_eq!(open, Vec::<String>::new());
    all
}

#[test]
fn every_shipped_procedure_is_among_those_that_are_drawn_here() {
    let procedures = shipped::all().filter(|d| d.shelf == Shelf::Procedure);
    let paths: BTreeSet<&str> = procedures.map(|d| d.path).collect();
    assert_eq!(paths, BTreeSet::from(SHIPPED));
}

#[test]
fn every_way_of_the_shipped_procedures_is_drawn_once() {
    for path in SHIPPED {
        let procedure = procedure(path);
        let proof = prove(&procedure);
        let mut chart = chart(&procedure, &proof);
        assert_every_way_once(&procedure, &chart);
        chart.unfold = true;
        assert_every_way_once(&procedure, &chart);
    }
}

#[test]
fn nothing_lies_on_anything_else_in_the_shipped_pictures() {
    for path in SHIPPED.into_iter().chain([SMALL]) {
        let procedure = procedure(path);
        let proof = prove(&procedure);
        let mut chart = chart(&procedure, &proof);
        for unfold in [false, true] {
            chart.unfold = unfold;
            assert_eq!(clashes(&picture(&chart)), Vec::<String>::new(), "{path}");
        }
        let every = if procedure.steps.len() > 100 { 9 } else { 1 };
        for step in procedure.steps.iter().step_by(every) {
            chart.at = Some(&step.id);
            let clashes = clashes(&picture(&chart));
            assert_eq!(clashes, Vec::<String>::new(), "{path} at {}", step.id);
        }
    }
}

#[test]
fn random_graphs_are_drawn_whole_and_without_a_clash() {
    let cases = std::env::var("LEVELHAND_CASES").ok();
    let cases: u64 = cases.and_then(|n| n.parse().ok()).unwrap_or(300);
    for seed in 0..cases {
        let procedure = graph(seed);
        let proof = prove(&procedure);
        let mut chart = chart(&procedure, &proof);
        for unfold in [false, true] {
            chart.unfold = unfold;
            assert_every_way_once(&procedure, &chart);
            let picture = picture(&chart);
            assert_eq!(clashes(&picture), Vec::<String>::new(), "seed {seed}");
            tags(&svg(&picture));
        }
        tags(&form(&chart));
    }
}

#[test]
fn a_clash_would_be_seen() {
    let procedure = procedure(SMALL);
    let proof = prove(&procedure);
    let sound = picture(&chart(&procedure, &proof));
    assert_eq!(clashes(&sound), Vec::<String>::new());
    let room = sound.pieces.iter().rev().find_map(|piece| match piece {
        Piece::Text(text) => Some(text.room()),
        _ => None,
    });
    let room = room.unwrap();
    let moved = |change: &dyn Fn(&mut Piece)| {
        let mut picture = sound.clone();
        picture.pieces.iter_mut().for_each(change);
        clashes(&picture).len()
    };
    let words = moved(&|piece| {
        if let Piece::Text(text) = piece {
            (text.x, text.y) = (room[0], room[3]);
        }
    });
    assert!(words > 10, "{words}");
    let lines = moved(&|piece| {
        if let Piece::Line(line) = piece {
            line.points.push((room[0] + 5, room[1] + 5));
        }
    });
    assert!(lines > 0);
    let boxes = moved(&|piece| {
        if let Piece::Frame(frame) = piece {
            frame.h += 40;
        }
    });
    assert!(boxes > 0);
}

#[test]
fn every_step_of_the_shipped_procedures_stands_in_every_form() {
    for path in SHIPPED {
        let procedure = procedure(path);
        let proof = prove(&procedure);
        let mut chart = chart(&procedure, &proof);
        chart.unfold = true;
        let (drawing, page, graph) = (svg(&picture(&chart)), form(&chart), dot(&chart));
        tags(&drawing);
        tags(&page);
        for (n, step) in procedure.steps.iter().enumerate() {
            let id = format!(" id=\"step-{}\"", n + 1);
            assert_eq!(drawing.matches(&id).count(), 1, "{}", step.id);
            let node = format!("    \"{}\" [shape=", step.id);
            assert_eq!(graph.matches(&node).count(), 1, "{}", step.id);
        }
        assert_eq!(page.matches("<article").count(), procedure.steps.len());
        assert_eq!(page.matches("<h3>").count(), procedure.steps.len());
        let edges = graph.lines().filter(|line| line.contains(" -> ")).count();
        assert_eq!(edges, every_way(&procedure).len(), "{path}");
        let stops = every_way(&procedure);
        let stops = stops
            .keys()
            .filter(|way| way.ends_with(" stop work"))
            .count();
        let faint = graph.matches("style=dashed, color=grey").count();
        assert_eq!(faint, stops, "{path}");
    }
}

#[test]
fn nothing_of_a_document_becomes_a_tag() {
    let text = String::from_utf8(read(SMALL)).unwrap();
    let nasty = "<b>&</style>\\\"'<script>";
    let text = text
        .replace("\"Chock the wheels\"", &format!("\"{nasty}\""))
        .replace("\"Small job\"", &format!("\"{nasty}\""))
        .replace("\"snug\"", "\"<i>&\"")
        .replace("\"front wheels chocked\"", "\"<u>\\\\\"");
    let procedure = document::procedure("nasty", text.as_bytes()).value.unwrap();
    let proof = prove(&procedure);
    let chart = chart(&procedure, &proof);
    for page in [svg(&picture(&chart)), form(&chart)] {
        let names = tags(&page);
        assert!(page.contains("&lt;b&gt;&amp;"));
        assert!(
            !names.iter().any(|n| n == "script" || n == "u"),
            "{names:?}"
        );
    }
    for line in dot(&chart).lines() {
        let bare = line.replace("\\\\", "").replace("\\\"", "");
        assert_eq!(bare.matches('"').count() % 2, 0, "{line}");
    }
}

#[test]
fn what_is_known_at_a_step_is_what_was_proved_there() {
    for path in SHIPPED {
        let procedure = procedure(path);
        let proof = prove(&procedure);
        let chart = chart(&procedure, &proof);
        for step in &procedure.steps {
            let known = known(&chart, &step.id).unwrap();
            let facts = proof.facts.at(&step.id).unwrap();
            let holds = facts
                .holds
                .iter()
                .map(|c| procedure.conditions[c].title.clone());
            let owed = facts.owed.iter().map(|d| procedure.duties[d].title.clone());
            assert_eq!(known.holds, holds.collect::<Vec<_>>(), "{}", step.id);
            assert_eq!(known.owed, owed.collect::<Vec<_>>(), "{}", step.id);
            assert_eq!(known.values.len(), facts.known.len(), "{}", step.id);
            assert_eq!(known.acts.len(), step.acts.len(), "{}", step.id);
            let text = known.text();
            for said in known.holds.iter().chain(&known.owed).chain(&known.values) {
                assert!(
                    text.contains(&format!("\n  {said}\n")),
                    "{}: {said}",
                    step.id
                );
            }
        }
    }
}

#[test]
fn an_act_shows_what_protects_it() {
    let procedure = procedure(SMALL);
    let proof = prove(&procedure);
    let lift = StepId::new("lift").unwrap();
    let known = known(&chart(&procedure, &proof), &lift).unwrap();
    assert_eq!(known.acts.len(), 1);
    assert_eq!(known.acts[0].act, "raise the frame");
    assert_eq!(
        known.acts[0].by,
        ["front wheels chocked", "nobody underneath"]
    );
    assert!(known.acts[0].not_by.is_empty());
}

#[test]
fn with_a_sheet_the_form_leaves_out_what_that_vehicle_never_meets_and_nothing_else() {
    let procedure = procedure("procedures/ride_height.json");
    let sheet = sheet("procedures/sheets/bw_07.json");
    let proof = prove(&procedure);
    let mut chart = chart(&procedure, &proof);
    let whole = form(&chart);
    chart.sheet = Some(&sheet);
    let cut = form(&chart);
    assert!(
        cut.len() < whole.len() * 4 / 5,
        "{} of {}",
        cut.len(),
        whole.len()
    );
    assert!(cut.contains("steps that other vehicles need are left out"));
    assert!(
        whole.contains("> 8 Ride height by the tapes")
            || whole.contains(">8 Ride height by the tapes")
    );
    assert!(!cut.contains("Ride height by the tapes"));
    // Whatever a rehearsal on this vehicle comes to is printed.
    let rehearsals = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/rehearsals");
    let mut steps: BTreeSet<String> = BTreeSet::new();
    for file in std::fs::read_dir(rehearsals).unwrap() {
        let text = std::fs::read_to_string(file.unwrap().path()).unwrap();
        if text.contains("\"ride_height\"") && text.contains("\"bw_07\"") {
            let at = text.split("\"at\": \"").skip(1);
            steps.extend(at.filter_map(|rest| Some(rest.split_once('"')?.0.to_owned())));
        }
    }
    assert!(steps.len() > 100, "{}", steps.len());
    for step in steps {
        let title = &procedure
            .step(&StepId::new(step.as_str()).unwrap())
            .unwrap()
            .title;
        let title = title.replace('&', "&amp;").replace('\'', "&#39;");
        assert!(cut.contains(&title), "{step}: {title}");
    }
}

#[test]
fn with_a_sheet_the_form_shows_its_values_beside_their_names() {
    let procedure = procedure(SHIPPED[0]);
    let sheet = sheet("procedures/sheets/bw_07.json");
    let proof = prove(&procedure);
    let mut chart = chart(&procedure, &proof);
    let bare = form(&chart);
    assert!(bare.contains("[sheet: ride within]") && !bare.contains("(sheet: ride within)"));
    chart.sheet = Some(&sheet);
    let filled = form(&chart);
    assert!(filled.contains("(sheet: ride within)") && !filled.contains("[sheet: ride within]"));
    assert!(
        !filled.contains("{sheet "),
        "a value that was not filled in"
    );
}

#[test]
fn the_small_job_in_every_form() {
    let procedure = procedure(SMALL);
    let proof = prove(&procedure);
    let mut chart = chart(&procedure, &proof);
    chart.unfold = true;
    let lift = StepId::new("lift").unwrap();
    insta::with_settings!({ snapshot_path => "chart/told", prepend_module_to_snapshot => false, omit_expression => true }, {
        insta::assert_snapshot!("small_svg", svg(&picture(&chart)));
        insta::assert_snapshot!("small_form", form(&chart));
        chart.at = Some(&lift);
        insta::assert_snapshot!("small_dot", dot(&chart));
        insta::assert_snapshot!("small_text", known(&chart, &lift).unwrap().text());
    });
}

#[test]
fn a_drawing_is_not_written_over_unasked() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("small.svg");
    let out = path.to_str().unwrap();
    let first = run(&["draw", SMALL, "--out", out]);
    assert_eq!(first.status.code(), Some(0), "{}", said(&first.stderr));
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .ends_with("</svg>\n")
    );
    std::fs::write(&path, "mine").unwrap();
    let second = run(&["draw", SMALL, "--out", out]);
    assert_eq!(second.status.code(), Some(2));
    assert!(said(&second.stderr).contains("is there already"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "mine");
    let third = run(&["draw", SMALL, "--as", "dot", "--out", out, "--again"]);
    assert_eq!(third.status.code(), Some(0));
    assert!(std::fs::read_to_string(&path).unwrap().ends_with("}\n"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_refuses_a_drawing_is_told_with_the_exit_code_of_the_help() {
    let help = said(&run(&["draw", "--help"]).stdout);
    assert!(help.contains("3 the disk refused"), "{help}");
    let full = || std::fs::OpenOptions::new().write(true).open("/dev/full");
    let mut command = command(&["draw", SMALL]);
    let out = command.stdout(full().unwrap()).output().unwrap();
    assert_eq!(out.status.code(), Some(3), "{}", said(&out.stderr));
    let told = said(&out.stderr);
    assert!(told.contains("The page can't be written"), "{told}");
    // A directory that nobody can make, below a plain file.
    let out = run(&["draw", SMALL, "--out", "Cargo.toml/small.svg"]);
    assert_eq!(out.status.code(), Some(3), "{}", said(&out.stderr));
    let told = said(&out.stderr);
    assert!(
        told.contains("Cargo.toml is no directory. Give a path"),
        "{told}"
    );
}

#[test]
fn a_step_that_is_not_there_gets_the_near_name() {
    let out = run(&["draw", SMALL, "--as", "text", "--at", "lfit"]);
    assert_eq!(out.status.code(), Some(2));
    assert!(
        said(&out.stderr).contains("did you mean \"lift\"?"),
        "{}",
        said(&out.stderr)
    );
    let none = run(&["draw", SMALL, "--as", "text"]);
    assert_eq!(none.status.code(), Some(2));
    assert!(said(&none.stderr).contains("--at STEP"));
}

#[test]
fn a_document_that_can_not_be_read_is_refused_with_its_findings() {
    let out = run(&["draw", "tests/documents/invalid/unknown-step.json"]);
    assert_eq!(out.status.code(), Some(1));
    assert!(out.stdout.is_empty());
    assert!(
        said(&out.stderr).contains("unknown-step"),
        "{}",
        said(&out.stderr)
    );
}

#[test]
fn a_document_that_is_not_proved_is_drawn_and_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let text = String::from_utf8(read(SMALL)).unwrap();
    let was = "\"establishes\": [\n      \"clear\"\n     ],";
    assert!(text.contains(was));
    let path = dir.path().join("unproved.json");
    let now = "\"establishes\": [\n      \"chocked\"\n     ],";
    std::fs::write(&path, text.replacen(was, now, 1)).unwrap();
    let out = run(&["draw", path.to_str().unwrap(), "--as", "paper"]);
    assert_eq!(out.status.code(), Some(1), "{}", said(&out.stderr));
    assert!(
        said(&out.stdout).contains("NOT FOR WORK"),
        "{}",
        said(&out.stderr)
    );
    assert!(
        said(&out.stderr).contains("error["),
        "{}",
        said(&out.stderr)
    );
}

#[test]
fn help_of_draw_shows_examples() {
    let help = said(&run(&["draw", "--help"]).stdout);
    assert!(
        help.contains("Examples:") && help.contains("--as paper"),
        "{help}"
    );
}
