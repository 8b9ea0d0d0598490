//! What a step asks, as a list that the focus moves over.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "most offers belong to another part of the list"
)]

use crate::job::{Answer, At, Offer, Setup, State, offers};
use crate::procedure::{
    ChoiceId, ConditionId, Confirm, DutyId, Outcome, Step, StepId, TickId, ValueId,
};

use super::work::Page;

/// Something that is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ItemKind {
    /// Say again that a condition holds; with its reading where one is asked for.
    Attest(ConditionId, Option<ValueId>),
    /// A watch asks for a reading.
    Watch(ConditionId, ValueId),
    /// A tick.
    Tick(TickId),
    /// A reading.
    Reading(ValueId),
    /// A second person's reading.
    Witness(ValueId),
    /// An advice limit that may be overridden.
    Override(usize),
    /// A choice.
    Choice(ChoiceId),
    /// The movement is over: on to what was seen.
    Moved,
    /// Enter.
    Confirm,
    /// Start the clock.
    Begin,
    /// The clock runs.
    Running,
    /// Press again.
    Press,
    /// Hold.
    Hold,
    /// Go on the way that the answers give.
    GoOn(Outcome),
    /// Repeat a step in place.
    Repeat(StepId),
    /// Leave the repeated step.
    LeaveRepeat,
    /// Name who takes on a duty.
    HandOver(DutyId),
    /// Name who sees to the repeats.
    HandOverRepeats,
}

/// Something that is asked, and whether it is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// What.
    pub kind: ItemKind,
    /// Still to be done.
    pub open: bool,
}

impl Item {
    const fn open(kind: ItemKind) -> Self {
        Self { kind, open: true }
    }

    /// Whether it takes typing.
    pub const fn is_field(&self) -> bool {
        matches!(
            self.kind,
            ItemKind::Reading(_)
                | ItemKind::Watch(..)
                | ItemKind::Witness(_)
                | ItemKind::Attest(_, Some(_))
        )
    }

    /// The reading that is typed into it.
    pub const fn reading(&self) -> Option<&ValueId> {
        match &self.kind {
            ItemKind::Reading(id)
            | ItemKind::Watch(_, id)
            | ItemKind::Witness(id)
            | ItemKind::Attest(_, Some(id)) => Some(id),
            _ => None,
        }
    }
}

/// Everything the step asks now, in the order of the screen.
pub(crate) fn items(setup: &Setup, state: &State, at: &At, page: Page) -> Vec<Item> {
    let offered = offers(setup, state, at);
    let mut items: Vec<Item> = offered.iter().filter_map(|o| first(setup, o)).collect();
    let Some(step) = state.inside().and_then(|s| setup.step(s)) else {
        return items;
    };
    if page == Page::Move {
        items.push(Item::open(ItemKind::Moved));
        return items;
    }
    answers(setup, state, step, &mut items);
    items.extend(offered.iter().filter_map(|o| last(o, state, step)));
    let waits = matches!(step.confirm(), Confirm::Wait { .. }) && state.current().begun.is_some();
    if waits && !items.iter().any(|i| i.kind == ItemKind::Confirm) {
        items.push(Item::open(ItemKind::Running));
    }
    items
}

/// What comes before the step's own questions.
fn first(setup: &Setup, offer: &Offer) -> Option<Item> {
    match offer {
        Offer::Attest(condition) => {
            let known = setup.procedure.conditions.get(condition);
            let reading = known
                .and_then(|c| c.ask.as_ref())
                .and_then(|a| a.reading.clone());
            Some(Item::open(ItemKind::Attest(condition.clone(), reading)))
        }
        Offer::Watch { condition, reading } => Some(Item::open(ItemKind::Watch(
            condition.clone(),
            reading.clone(),
        ))),
        _ => None,
    }
}

/// Ticks, then readings grouped by place.
fn answers(setup: &Setup, state: &State, step: &Step, items: &mut Vec<Item>) {
    let current = state.current();
    for tick in &step.ticks {
        items.push(Item {
            kind: ItemKind::Tick(tick.id.clone()),
            open: !current.ticks.contains_key(&tick.id),
        });
    }
    for reading in by_place(setup, step) {
        let accepted = current.readings.contains(reading);
        items.push(Item {
            kind: ItemKind::Reading(reading.clone()),
            open: !accepted,
        });
        let witness = setup.procedure.readings.get(reading);
        if accepted && witness.is_some_and(|r| r.witness) {
            items.push(Item {
                kind: ItemKind::Witness(reading.clone()),
                open: !current.witnessed.contains_key(reading),
            });
        }
    }
}

/// The readings of a step, those of one place together, places in order of
/// their first reading.
pub(crate) fn by_place<'s>(setup: &Setup, step: &'s Step) -> Vec<&'s ValueId> {
    let place = |id: &ValueId| {
        let known = setup.procedure.readings.get(id);
        known.and_then(|r| r.place.clone())
    };
    let mut places: Vec<Option<String>> = Vec::new();
    for reading in &step.readings {
        let here = place(reading);
        if !places.contains(&here) {
            places.push(here);
        }
    }
    places
        .iter()
        .flat_map(|p| step.readings.iter().filter(move |r| &place(r) == p))
        .collect()
}

/// What ends the step.
fn last(offer: &Offer, state: &State, step: &Step) -> Option<Item> {
    let kind = match offer {
        Offer::Override(limit) => ItemKind::Override(*limit),
        Offer::Choose(choice) => ItemKind::Choice(choice.clone()),
        Offer::Begin => ItemKind::Begin,
        Offer::Press => ItemKind::Press,
        Offer::Confirm => ItemKind::Confirm,
        Offer::Hold => ItemKind::Hold,
        Offer::GoOn(outcome) => ItemKind::GoOn(*outcome),
        Offer::Repeat(step) => ItemKind::Repeat(step.clone()),
        Offer::LeaveRepeat => ItemKind::LeaveRepeat,
        Offer::HandOver(duty) => ItemKind::HandOver(duty.clone()),
        Offer::HandOverRepeats => ItemKind::HandOverRepeats,
        Offer::Attest(_)
        | Offer::Watch { .. }
        | Offer::Tick { .. }
        | Offer::Read { .. }
        | Offer::Witness(_)
        | Offer::CallStop
        | Offer::CarryOn
        | Offer::TakeStop => return None,
    };
    let open = match &kind {
        ItemKind::Override(_) | ItemKind::Repeat(_) | ItemKind::LeaveRepeat => false,
        // A bad outcome is taken on purpose; the focus does not jump there from a
        // limit that may be overridden, or from an age that is not reached yet.
        ItemKind::GoOn(Outcome::Pass) => true,
        ItemKind::GoOn(_) => {
            step.limits.is_empty() || state.current().ticks.values().any(|a| *a == Answer::No)
        }
        _ => true,
    };
    Some(Item { kind, open })
}
