//! The debrief as data: whole for other programs, and the line that later drills of the
//! same person are compared with.
//!
//! Must not know: files.

use serde_json::{Map, Value, json};

use super::What;
use super::debrief::Debrief;
use super::unsafe_act::Seriousness;

/// What is kept of a drill to compare later ones with.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// The day, as `2026-11-28`.
    pub day: String,
    /// The drill.
    pub drill: String,
    /// Who practised.
    pub by: String,
    /// Whether it was passed.
    pub passed: bool,
    /// Faults found.
    pub found: u64,
    /// Faults there were.
    pub faults: u64,
    /// DANGER acts.
    pub dangers: u64,
    /// WARNING acts.
    pub warnings: u64,
    /// NOTICE acts.
    pub notices: u64,
    /// How long it took, ms.
    pub ms: u64,
}

/// The mark of the file.
const FORMAT: &str = "levelhand drill debrief 1";

/// The whole debrief as JSON text; `day` is when it was, `job` the id of its practice job.
pub fn kept(debrief: &Debrief, day: &str, job: &str) -> String {
    let mut root = Map::new();
    let mut put = |key: &str, value: Value| {
        root.insert(key.to_owned(), value);
    };
    put("format", json!(FORMAT));
    put("mode", json!("PRACTICE"));
    put("day", json!(day));
    put("job", json!(job));
    put("drill", json!(debrief.drill));
    put("title", json!(debrief.title));
    put("truck", json!(debrief.truck));
    put("by", json!(debrief.by));
    put("seed", json!(debrief.seed));
    put("ms", json!(debrief.ms));
    put("ended", json!(debrief.ended));
    put("made_safe", json!(debrief.made_safe));
    put("passed", json!(debrief.passed()));
    put("marks", marks(debrief));
    put("faults", faults(debrief));
    let misnamed = debrief.misnamed.iter();
    let misnamed: Vec<_> = misnamed.map(|(at, id, _)| json!([at, id])).collect();
    put("misnamed", json!(misnamed));
    put("unsafe_acts", acts(debrief));
    put("readings", readings(debrief));
    put("ticks", ticks(debrief));
    put(
        "phases",
        json!(
            debrief
                .phases
                .iter()
                .map(|p| json!({"title": p.title, "ms": p.ms}))
                .collect::<Vec<_>>()
        ),
    );
    put(
        "steps",
        json!(
            debrief
                .steps
                .iter()
                .map(|(at, step)| json!([at, step.as_str()]))
                .collect::<Vec<_>>()
        ),
    );
    put("left", left(debrief));
    put("log", log(debrief));
    put("trace", trace(debrief));
    Value::Object(root).to_string()
}

fn marks(debrief: &Debrief) -> Value {
    let rows = debrief.rows();
    let rows = rows.iter().map(|row| {
        json!({"title": row.title, "rule": row.rule, "found": row.found, "mark": row.mark.word()})
    });
    rows.collect()
}

fn faults(debrief: &Debrief) -> Value {
    let faults = debrief.faults.iter().map(|f| {
        json!({
            "id": f.id,
            "title": f.title,
            "remedy": f.remedy.key(),
            "visible_ms": f.visible.as_ref().map(|(at, _)| at),
            "visible_at": f.visible.as_ref().map(|(_, step)| step.as_str()),
            "found_ms": f.found_ms,
            "mended_ms": f.mended_ms,
            "treated": f.treated,
        })
    });
    faults.collect()
}

fn acts(debrief: &Debrief) -> Value {
    let acts = debrief.unsafe_acts.iter().map(|c| {
        json!({
            "at_ms": c.at_ms,
            "act": c.act.key(),
            "signal": c.act.seriousness().word(),
            "title": c.act.title(),
            "what": c.what,
            "step": c.step.as_ref().map(crate::procedure::StepId::as_str),
        })
    });
    acts.collect()
}

fn readings(debrief: &Debrief) -> Value {
    let said = debrief.said.iter().map(|s| {
        json!({
            "at_ms": s.at_ms,
            "step": s.step.as_str(),
            "reading": s.reading.as_str(),
            "typed_si": s.typed.si(),
            "shown_si": s.shown.map(crate::quantity::Quantity::si),
            "true_si": s.truth.map(crate::quantity::Quantity::si),
            "as_shown": s.honest,
        })
    });
    said.collect()
}

fn ticks(debrief: &Debrief) -> Value {
    let ticks = debrief.ticked.iter().map(|t| {
        json!({
            "at_ms": t.at_ms,
            "step": t.step.as_str(),
            "title": t.title,
            "said_good": t.good,
            "looked": t.looked,
            "so": t.so,
            "seen": t.seen,
        })
    });
    ticks.collect()
}

fn left(debrief: &Debrief) -> Value {
    let stands = |s: &super::Stands| {
        let driveline: Map<String, Value> = s
            .driveline
            .iter()
            .map(|(title, value)| (title.clone(), json!(value)))
            .collect();
        json!({"height_m": s.height, "driveline": driveline})
    };
    let left = &debrief.left;
    json!({
        "now": stands(&left.now),
        "levelled": left.levelled.as_ref().map(stands),
        "wanted_m": left.wanted.map(|(ride, _)| ride),
        "within_m": left.wanted.map(|(_, within)| within),
        "stored_counts": left.stored,
        "settings_unknown": left.unknown,
    })
}

/// Everything that was done and happened: the instant, the sort, the words.
fn log(debrief: &Debrief) -> Value {
    let rows = debrief.lines.iter().map(|line| {
        let (sort, words) = match &line.what {
            What::Done(hand) => ("done", hand.to_string()),
            What::Refused(hand, why) => ("refused", format!("{hand}: {why}")),
            What::Happened(happening) => ("happened", happening.to_string()),
            What::Step(step) => ("step", step.to_string()),
            What::Unsafe(act, what) => ("unsafe", format!("{}: {what}", act.key())),
            What::Stopped => ("stopped", String::new()),
            What::Ended(kind) => ("ended", kind.key().to_owned()),
        };
        json!([line.at_ms, sort, words])
    });
    rows.collect()
}

fn trace(debrief: &Debrief) -> Value {
    let round = |n: f64, by: f64| (n * by).round() / by;
    let rows = debrief.trace.iter().map(|s| {
        json!([
            s.at_ms,
            round(s.height[0], 1e6),
            round(s.height[1], 1e6),
            round(s.bar[0], 1e4),
            round(s.bar[1], 1e4),
            round(s.reservoir, 1e4),
            round(s.counts, 1e2),
        ])
    });
    let columns = json!([
        "ms",
        "left_m",
        "right_m",
        "left_bar",
        "right_bar",
        "reservoir_bar",
        "counts"
    ]);
    json!({"columns": columns, "rows": rows.collect::<Vec<_>>()})
}

/// Reads back what later drills are compared with; `None` if it is no debrief.
pub fn read_kept(text: &str) -> Option<Kept> {
    let root: Value = serde_json::from_str(text).ok()?;
    if root.get("format")?.as_str()? != FORMAT {
        return None;
    }
    let text = |key: &str| root.get(key).and_then(Value::as_str).map(str::to_owned);
    let acts = root.get("unsafe_acts").and_then(Value::as_array)?;
    let count = |serious: Seriousness| {
        let word = serious.word();
        let of = |act: &&Value| act.get("signal").and_then(Value::as_str) == Some(word);
        acts.iter().filter(of).count() as u64
    };
    let faults = root.get("faults").and_then(Value::as_array)?;
    let found = faults
        .iter()
        .filter(|f| f.get("found_ms").is_some_and(Value::is_u64));
    Some(Kept {
        day: text("day")?,
        drill: text("drill")?,
        by: text("by")?,
        passed: root.get("passed").and_then(Value::as_bool)?,
        found: found.count() as u64,
        faults: faults.len() as u64,
        dangers: count(Seriousness::Danger),
        warnings: count(Seriousness::Warning),
        notices: count(Seriousness::Notice),
        ms: root.get("ms").and_then(Value::as_u64)?,
    })
}
