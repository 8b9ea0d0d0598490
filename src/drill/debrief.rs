//! The debrief: what was wrong with the truck, when it showed and was found; what was
//! unsafe; what was typed beside what was so; what is left.
//!
//! Must not know: the screen, files.

use super::answer::{Said, SaidTick};
use super::left::LeftOn;
use super::mark::{Mark, Row, marks};
use super::watch::Sample;
use super::{Committed, Drill, Line, WRONG_SHEET, WRONG_SHEET_TITLE, fault_titles};
use crate::job::{Setup, State};
use crate::procedure::{EndKind, StepId};
use crate::rig::Remedy;

/// One fault's story.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultStory {
    /// Its name.
    pub id: String,
    /// What people read.
    pub title: String,
    /// How it shows.
    pub symptom: Vec<String>,
    /// What to learn.
    pub lesson: Vec<String>,
    /// What is right to do.
    pub remedy: Remedy,
    /// When it could first be seen, and at which step.
    pub visible: Option<(u64, StepId)>,
    /// When it was found.
    pub found_ms: Option<u64>,
    /// When it was mended.
    pub mended_ms: Option<u64>,
    /// It was treated as it asks.
    pub treated: bool,
}

/// Time in a phase.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PhaseTime {
    /// The phase.
    pub title: String,
    /// How long, ms.
    pub ms: u64,
}

/// A debrief.
#[derive(Debug, Clone, PartialEq)]
pub struct Debrief {
    /// The drill.
    pub drill: String,
    /// Its title.
    pub title: String,
    /// The truck's title.
    pub truck: String,
    /// Who practised.
    pub by: String,
    /// The seed.
    pub seed: u64,
    /// How long it took, ms of the truck.
    pub ms: u64,
    /// Until when the lead hand did it, ms.
    pub handed_ms: Option<u64>,
    /// The job came to an end.
    pub ended: bool,
    /// The job ended made safe.
    pub made_safe: bool,
    /// The job ended handed over, and no setting was touched: the height is left as found,
    /// and somebody has it to do.
    pub left_as_found: bool,
    /// The faults.
    pub faults: Vec<FaultStory>,
    /// Faults named or mended that were not there: when, name, title.
    pub misnamed: Vec<(u64, String, String)>,
    /// What was unsafe.
    pub unsafe_acts: Vec<Committed>,
    /// Readings.
    pub said: Vec<Said>,
    /// Ticks and choices that the truck could judge.
    pub ticked: Vec<SaidTick>,
    /// Time in each phase, in the order in which they were entered.
    pub phases: Vec<PhaseTime>,
    /// Steps with their instants.
    pub steps: Vec<(u64, StepId)>,
    /// Everything that was done and happened.
    pub lines: Vec<Line>,
    /// The trace.
    pub trace: Vec<Sample>,
    /// What is left.
    pub left: LeftOn,
}

impl Debrief {
    /// The rows of the mark scheme.
    pub fn rows(&self) -> Vec<Row> {
        marks(self)
    }

    /// Whether no row fails.
    pub fn passed(&self) -> bool {
        self.rows().iter().all(|row| row.mark != Mark::Fail)
    }

    /// How far the worse side will be off ride height, mm.
    pub fn off_mm(&self) -> Option<f64> {
        let (wanted, _) = self.left.wanted?;
        let stands = self.left.levelled.as_ref()?;
        let off = stands.height.iter().map(|h| (h - wanted).abs() * 1000.0);
        Some(off.fold(0.0, f64::max))
    }
}

/// The debrief of a drill as far as it went.
pub fn debrief(drill: &Drill, setup: &Setup, state: &State) -> Debrief {
    let ended = drill.ended;
    let plan = &drill.ground.plan;
    Debrief {
        drill: plan.id.clone(),
        title: plan.title.clone(),
        truck: drill.ground.truck.title.clone(),
        by: drill.ground.by.clone(),
        seed: drill.ground.seed,
        ms: drill.now_ms(),
        handed_ms: drill.handed_ms,
        ended: ended.is_some(),
        made_safe: ended.is_some_and(|(_, kind)| kind == EndKind::MadeSafe),
        left_as_found: ended.is_some_and(|(_, kind)| kind == EndKind::HandedOver)
            && drill.bay.equipment.stored == drill.ground.truck.stored,
        faults: stories(drill),
        misnamed: misnamed(drill),
        unsafe_acts: drill.unsafe_acts.clone(),
        said: drill.said.clone(),
        ticked: drill.ticked.clone(),
        phases: phases(drill),
        steps: drill
            .steps
            .iter()
            .map(|(at, step, _)| (*at, step.clone()))
            .collect(),
        lines: drill.lines.clone(),
        trace: drill.trace.clone(),
        left: drill.left_on(setup, state),
    }
}

/// Faults that were named or mended and are not there: when, name, title.
fn misnamed(drill: &Drill) -> Vec<(u64, String, String)> {
    let titles = fault_titles(&drill.ground.known);
    let title = |id: &String| {
        let found = titles.iter().find(|(known, _)| known == id);
        found.map_or_else(|| id.clone(), |(_, title)| title.clone())
    };
    let named = drill.misnamed.iter();
    named.map(|(at, id)| (*at, id.clone(), title(id))).collect()
}

fn stories(drill: &Drill) -> Vec<FaultStory> {
    let stopped = drill.stopped.is_some()
        || drill
            .ended
            .is_some_and(|(_, kind)| kind == EndKind::MadeSafe);
    let handed = drill
        .ended
        .is_some_and(|(_, kind)| kind == EndKind::HandedOver);
    let mut stories: Vec<FaultStory> = drill
        .ground
        .faults
        .iter()
        .map(|fault| {
            let found_ms = drill.named.get(&fault.id).copied();
            let mended_ms = drill.mended.get(&fault.id).copied();
            let treated = found_ms.is_some()
                && match fault.remedy {
                    Remedy::Mend | Remedy::Swap => mended_ms.is_some(),
                    Remedy::Stop => stopped || handed,
                    Remedy::GoOn => true,
                };
            FaultStory {
                id: fault.id.clone(),
                title: fault.title.clone(),
                symptom: fault.symptom.clone(),
                lesson: fault.lesson.clone(),
                remedy: fault.remedy,
                visible: drill.visible.get(&fault.id).cloned(),
                found_ms,
                mended_ms,
                treated,
            }
        })
        .collect();
    if drill.wrong_sheet() {
        let found_ms = drill.named.get(WRONG_SHEET).copied();
        stories.push(FaultStory {
            id: WRONG_SHEET.to_owned(),
            title: WRONG_SHEET_TITLE.to_owned(),
            symptom: vec!["Plate, tyres or axle are not those of the sheet.".to_owned()],
            lesson: vec!["Hold the sheet against the plate before anything else.".to_owned()],
            remedy: Remedy::Stop,
            visible: drill.visible.get(WRONG_SHEET).cloned(),
            found_ms,
            mended_ms: None,
            treated: found_ms.is_some() && (stopped || handed),
        });
    }
    stories
}

fn phases(drill: &Drill) -> Vec<PhaseTime> {
    let mut times: Vec<PhaseTime> = Vec::new();
    let ends = drill
        .steps
        .iter()
        .skip(1)
        .map(|(at, ..)| *at)
        .chain([drill.now_ms()]);
    for ((from, _, title), to) in drill.steps.iter().zip(ends) {
        let ms = to.saturating_sub(*from);
        match times.iter_mut().find(|t| &t.title == title) {
            Some(time) => time.ms += ms,
            None => times.push(PhaseTime {
                title: title.clone(),
                ms,
            }),
        }
    }
    times
}

/// What in a debrief is not as a script expects, in sentences.
pub fn unexpected(debrief: &Debrief, expect: &crate::rehearsal::DrillExpect) -> Vec<String> {
    let mut wrong = Vec::new();
    let found = |id: &String| {
        let fault = debrief.faults.iter().find(|f| &f.id == id);
        fault.is_some_and(|f| f.found_ms.is_some())
    };
    for id in expect.found.iter().chain(&expect.missed) {
        if debrief.faults.iter().all(|f| &f.id != id) {
            wrong.push(format!(
                "{id} is no fault of this drill; the script names it"
            ));
        }
    }
    for id in expect.found.iter().filter(|id| !found(id)) {
        wrong.push(format!("{id} was not found; the script expects that it is"));
    }
    for id in expect.missed.iter().filter(|id| found(id)) {
        wrong.push(format!("{id} was found; the script expects that it is not"));
    }
    if let Some(wanted) = &expect.acts {
        let done: Vec<&str> = debrief.unsafe_acts.iter().map(|c| c.act.key()).collect();
        for act in wanted.iter().filter(|act| !done.contains(&act.as_str())) {
            wrong.push(format!("{act} was not done; the script expects that it is"));
        }
        for committed in &debrief.unsafe_acts {
            let act = committed.act.key();
            if !wanted.iter().any(|w| w == act) {
                let at = committed.step.as_ref().map_or("the start", |s| s.as_str());
                wrong.push(format!(
                    "{act} was done at {at} ({}); the script does not expect it",
                    committed.what
                ));
            }
        }
    }
    if let Some(passed) = expect.passed
        && passed != debrief.passed()
    {
        let failed: Vec<String> = debrief
            .rows()
            .iter()
            .filter(|row| row.mark == Mark::Fail)
            .map(|row| format!("{}: {}", row.title, row.found))
            .collect();
        wrong.push(format!(
            "the drill is {}; the script expects the other ({})",
            if debrief.passed() {
                "passed"
            } else {
                "not passed"
            },
            failed.join("; ")
        ));
    }
    wrong
}
