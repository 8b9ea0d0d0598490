//! The debrief as a page of text, for the screen and for the file.
//!
//! Must not know: the screen.

use super::Kept;
use super::debrief::Debrief;
use super::plot::plot;
use crate::rig::Remedy;

/// Minutes and seconds.
fn clock(ms: u64) -> String {
    format!("{}:{:02}", ms / 60_000, ms / 1000 % 60)
}

/// The page, so many cells wide; `before` are earlier drills of the same person.
pub fn page(debrief: &Debrief, before: &[Kept], width: usize) -> Vec<String> {
    let mut lines = vec![
        "PRACTICE. This is the debrief of a drill and never the record of a job.".to_owned(),
        String::new(),
        format!("{}  ({})", debrief.title, debrief.drill),
        format!("truck: {}", debrief.truck),
        format!(
            "by {}, seed {}, {} minutes at the truck",
            debrief.by,
            debrief.seed,
            clock(debrief.ms)
        ),
    ];
    if let Some(ms) = debrief.handed_ms {
        lines.push(format!(
            "the lead hand did everything before {}; it is nobody's mark",
            clock(ms)
        ));
    }
    lines.push(String::new());
    let passed = if debrief.passed() {
        "PASSED"
    } else {
        "NOT PASSED YET"
    };
    lines.push(passed.to_owned());
    marks(debrief, &mut lines);
    faults(debrief, &mut lines);
    unsafe_acts(debrief, &mut lines);
    readings(debrief, &mut lines);
    left(debrief, &mut lines);
    lines.push(String::new());
    lines.push("TIME IN EACH PHASE".to_owned());
    for phase in &debrief.phases {
        lines.push(format!("  {:>6}  {}", clock(phase.ms), phase.title));
    }
    lines.push(String::new());
    lines.push("THE WHOLE DRILL".to_owned());
    lines.extend(plot(&debrief.trace, &debrief.steps, width));
    earlier(before, &mut lines);
    lines
        .into_iter()
        .flat_map(|line| folded(&line, width))
        .collect()
}

fn marks(debrief: &Debrief, lines: &mut Vec<String>) {
    lines.push(String::new());
    lines.push("MARKS: every row must be good or noted; nothing is added up.".to_owned());
    for row in debrief.rows() {
        lines.push(format!(
            "  {:<20} {:<11} {}",
            row.title,
            row.mark.word(),
            row.found
        ));
        lines.push(format!("      rule: {}", row.rule));
    }
}

fn faults(debrief: &Debrief, lines: &mut Vec<String>) {
    lines.push(String::new());
    lines.push("WHAT WAS WRONG WITH THE TRUCK".to_owned());
    if debrief.faults.is_empty() {
        lines.push("  Nothing: the truck was in order.".to_owned());
    }
    for fault in &debrief.faults {
        lines.push(format!("  {}", fault.title));
        for symptom in &fault.symptom {
            lines.push(format!("      shows: {symptom}"));
        }
        match &fault.visible {
            Some((at, step)) => {
                let seen = format!("could first be seen at {} ({step})", clock(*at));
                lines.push(format!("      {seen}"));
            }
            None if fault.found_ms.is_none() => {
                lines.push("      you did not come to where it shows".to_owned());
            }
            None => {}
        }
        let found = fault.found_ms.map_or_else(
            || "not found".to_owned(),
            |at| format!("found at {}", clock(at)),
        );
        let treated = if fault.treated {
            "treated as it asks"
        } else {
            "not treated as it asks"
        };
        let asks = match (fault.remedy, fault.mended_ms) {
            (_, Some(at)) => format!("mended at {}", clock(at)),
            (remedy, None) => format!("right is: {}", remedy.words()),
        };
        lines.push(format!("      {found}; {treated}; {asks}"));
        if !fault.treated || fault.remedy == Remedy::GoOn {
            for lesson in &fault.lesson {
                lines.push(format!("      learn: {lesson}"));
            }
        }
    }
    for (at, _, title) in &debrief.misnamed {
        lines.push(format!(
            "  named or mended at {} and not there: {title}",
            clock(*at)
        ));
    }
}

fn unsafe_acts(debrief: &Debrief, lines: &mut Vec<String>) {
    lines.push(String::new());
    lines.push("WHAT WAS UNSAFE".to_owned());
    if debrief.unsafe_acts.is_empty() {
        lines.push("  Nothing that the truck could see.".to_owned());
    }
    let mut acts: Vec<&super::Committed> = debrief.unsafe_acts.iter().collect();
    acts.sort_by_key(|c| (c.act.seriousness(), c.at_ms));
    let mut last = None;
    for committed in acts {
        let act = committed.act;
        if last != Some(act) {
            lines.push(format!("  {}  {}", act.seriousness().word(), act.title()));
            lines.push(format!("      {}", act.why()));
            last = Some(act);
        }
        let step = committed
            .step
            .as_ref()
            .map_or_else(String::new, |s| format!(" ({s})"));
        lines.push(format!(
            "      at {}{step}: {}",
            clock(committed.at_ms),
            committed.what
        ));
    }
}

fn readings(debrief: &Debrief, lines: &mut Vec<String>) {
    lines.push(String::new());
    lines.push("READINGS: typed, shown by the instrument, true".to_owned());
    if debrief.said.is_empty() {
        lines.push("  None.".to_owned());
    }
    for said in &debrief.said {
        let show = |quantity: Option<crate::quantity::Quantity>, more: u8| {
            quantity.map_or_else(
                || "not read".to_owned(),
                |q| {
                    let usual = said.unit.usual_decimals(q.kind());
                    q.show(said.unit, if usual == 0 { 0 } else { usual + more })
                },
            )
        };
        let mark = if said.honest { " " } else { "!" };
        lines.push(format!(
            " {mark}{:>6} {:<34} {:>13} {:>13} {:>13}",
            clock(said.at_ms),
            said.title,
            said.typed.show_plain(said.unit),
            show(said.shown, 0),
            show(said.truth, 1),
        ));
    }
    let wrong = debrief
        .ticked
        .iter()
        .filter(|t| t.good && (!t.so || !t.looked));
    for tick in wrong {
        let why = if tick.so {
            "nobody had looked"
        } else {
            "it was not so"
        };
        lines.push(format!(
            " !{:>6} ticked \"{}\": {why}; seen there: {}",
            clock(tick.at_ms),
            tick.title,
            tick.seen
        ));
    }
}

fn left(debrief: &Debrief, lines: &mut Vec<String>) {
    let left = &debrief.left;
    lines.push(String::new());
    lines.push("WHAT IS LEFT ON THE TRUCK".to_owned());
    let [l, r] = left.now.height.map(|h| h * 1000.0);
    lines.push(format!("  stands now at {l:.1} mm left, {r:.1} mm right"));
    let [ride, upper, lower] = left.stored;
    lines.push(format!(
        "  stored: ride {ride}, upper {upper}, lower {lower} counts"
    ));
    if left.unknown {
        lines.push("  settings unknown: the write-out broke off. DO NOT DRIVE.".to_owned());
    }
    if let Some(stands) = &left.levelled {
        let [l, r] = stands.height.map(|h| h * 1000.0);
        let wanted = left.wanted.map_or_else(String::new, |(ride, within)| {
            format!(
                "; the sheet wants {:.0} ± {:.0} mm",
                ride * 1000.0,
                within * 1000.0
            )
        });
        lines.push(format!(
            "  levelling will hold it at {l:.1} mm left, {r:.1} mm right{wanted}"
        ));
        if !stands.driveline.is_empty() {
            lines.push("  the driveline there, by the slopes of the sheet:".to_owned());
        }
        for (title, value) in &stands.driveline {
            lines.push(format!("      {title}: {value}"));
        }
    }
}

fn earlier(before: &[Kept], lines: &mut Vec<String>) {
    if before.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push("YOUR EARLIER DRILLS, the last one first".to_owned());
    for kept in before {
        let passed = if kept.passed { "passed" } else { "not passed" };
        lines.push(format!(
            "  {}  {:<28} {:<10} faults {} of {}, danger {}, warning {}, notice {}, {}",
            kept.day,
            kept.drill,
            passed,
            kept.found,
            kept.faults,
            kept.dangers,
            kept.warnings,
            kept.notices,
            clock(kept.ms)
        ));
    }
}

/// A line folded at spaces to a width; what follows is indented as the line is.
fn folded(line: &str, width: usize) -> Vec<String> {
    let width = width.max(20);
    if line.chars().count() <= width {
        return vec![line.to_owned()];
    }
    let indent = line.chars().take_while(|c| *c == ' ').count();
    let pad = " ".repeat((indent + 2).min(width / 2));
    let mut lines = Vec::new();
    let mut text = String::new();
    for (n, part) in line.split(' ').enumerate() {
        if !text.trim().is_empty() && text.chars().count() + 1 + part.chars().count() > width {
            lines.push(std::mem::replace(&mut text, format!("{pad}{part}")));
            continue;
        }
        if n > 0 {
            text.push(' ');
        }
        text.push_str(part);
    }
    lines.push(text);
    lines
}
