//! Drills and what they are made of, out of the library: trucks, faults, plans, scripts.
//!
//! A document that can't be read is told by its name; `levelhand check` says what is
//! wrong with it.

use std::sync::Arc;

use super::library::Library;
use super::shipped::{self, Shelf};
use crate::app::DrillRow;
use crate::document;
use crate::drill::{Ground, choose_faults};
use crate::procedure::Procedure;
use crate::rehearsal::DrillScript;
use crate::rig::{Chosen, Fault, Plan, Truck};

/// What the person chose beside the drill itself.
#[derive(Debug, Clone, Default)]
pub(crate) struct Wishes {
    /// Faults instead of those of the plan.
    pub(crate) faults: Option<Chosen>,
    /// Who practises.
    pub(crate) by: String,
    /// The seed.
    pub(crate) seed: u64,
}

fn broken(shelf: Shelf, id: &str) -> String {
    format!(
        "The {} {id} has errors, so no drill can be made of it; levelhand check says which.",
        shelf.word()
    )
}

fn missing(shelf: Shelf, id: &str) -> String {
    format!(
        "There is no {} named {id} here. Lay it among the shop's documents, or see levelhand practise --list.",
        shelf.word()
    )
}

/// Every id of a shelf, the shop's own first, each once.
fn ids(library: &Library, shelf: Shelf) -> Vec<String> {
    let own = library.own(shelf).map(|(id, _)| id.to_owned());
    let built_in = shipped::all().filter(|d| d.shelf == shelf);
    let mut ids: Vec<String> = own.chain(built_in.map(|d| d.id.to_owned())).collect();
    ids.sort();
    ids.dedup();
    ids
}

/// The drill of that id.
pub(crate) fn plan(library: &Library, id: &str) -> Result<Plan, String> {
    let found = library
        .find(Shelf::Drill, id)
        .ok_or_else(|| missing(Shelf::Drill, id))?;
    let read = document::drill(&found.name, &found.bytes, None);
    read.value.ok_or_else(|| broken(Shelf::Drill, id))
}

/// All drills that can be read, by number.
pub(crate) fn plans(library: &Library) -> Vec<Plan> {
    let mut plans: Vec<Plan> = ids(library, Shelf::Drill)
        .iter()
        .filter_map(|id| plan(library, id).ok())
        .collect();
    plans.sort_by(|a, b| (a.number, &a.id).cmp(&(b.number, &b.id)));
    plans
}

/// The truck of that id.
pub(crate) fn truck(library: &Library, id: &str) -> Result<Truck, String> {
    let found = library
        .find(Shelf::Truck, id)
        .ok_or_else(|| missing(Shelf::Truck, id))?;
    let find = |id: &str| library.find(Shelf::Truck, id).map(|f| f.bytes);
    let read = document::truck(&found.name, &found.bytes, &find, None);
    read.value.ok_or_else(|| broken(Shelf::Truck, id))
}

/// All faults that can be read.
pub(crate) fn faults(library: &Library) -> Vec<Arc<Fault>> {
    ids(library, Shelf::Fault)
        .iter()
        .filter_map(|id| {
            let found = library.find(Shelf::Fault, id)?;
            document::fault(&found.name, &found.bytes, None).value
        })
        .map(Arc::new)
        .collect()
}

/// A script of a drill; its entries are held against the procedure.
pub(crate) fn script(
    library: &Library,
    id: &str,
    graph: &Procedure,
) -> Result<DrillScript, String> {
    let shelf = Shelf::DrillScript;
    let found = library.find(shelf, id).ok_or_else(|| missing(shelf, id))?;
    let read = document::drill_script(&found.name, &found.bytes, Some(graph), None);
    read.value.ok_or_else(|| broken(shelf, id))
}

/// What a drill is made of.
pub(crate) fn ground(library: &Library, id: &str, wishes: &Wishes) -> Result<Ground, String> {
    let mut plan = plan(library, id)?;
    if let Some(faults) = &wishes.faults {
        plan.faults = faults.clone();
    }
    let truck = truck(library, &plan.truck)?;
    let known = faults(library);
    let faults =
        choose_faults(&plan, &known, wishes.seed).map_err(|name| missing(Shelf::Fault, &name))?;
    Ok(Ground {
        plan: Arc::new(plan),
        truck: Arc::new(truck),
        faults,
        known,
        seed: wishes.seed,
        by: wishes.by.clone(),
    })
}

/// The rows of the course.
pub(crate) fn rows(library: &Library) -> Vec<DrillRow> {
    let plans = plans(library);
    plans
        .iter()
        .map(|plan| DrillRow {
            id: plan.id.clone(),
            title: plan.title.clone(),
            number: plan.number,
            coaching: plan.coaching.words().to_owned(),
            aim: plan.aim.clone(),
            after: plan.after.as_ref().map(|after| {
                let found = plans.iter().find(|p| &p.id == after);
                found.map_or_else(|| after.clone(), |p| p.title.clone())
            }),
            after_id: plan.after.clone(),
        })
        .collect()
}
