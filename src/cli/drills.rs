//! Drills and what they are made of, out of the library: trucks, faults, plans, scripts.
//!
//! A document that can't be read is told by its name; `levelhand check` says what is
//! wrong with it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::library::{Found, Library};
use super::shipped::{self, Shelf};
use crate::app::{DrillRow, NewDrill};
use crate::document;
use crate::drill::{Ground, choose_faults, deeds_by_step};
use crate::finding::draw_all;
use crate::procedure::Procedure;
use crate::rehearsal::DrillScript;
use crate::rig::{Fault, Plan, Truck};

/// What could be read of a shelf, and what is said of the rest.
pub(crate) struct Gathered<T> {
    /// What could be read.
    pub(crate) sound: Vec<T>,
    /// A sentence for each that could not.
    pub(crate) broken: Vec<String>,
}

fn broken(shelf: Shelf, id: &str) -> String {
    format!(
        "The {} {id} has errors, so no drill can be made of it; levelhand check says which.",
        shelf.word()
    )
}

fn missing(shelf: Shelf, id: &str) -> String {
    let list = if matches!(shelf, Shelf::Drill | Shelf::Fault) {
        "; levelhand practise --list names those that are here"
    } else {
        ""
    };
    format!(
        "There is no {} named {id} here. Lay it among the shop's documents{list}.",
        shelf.word()
    )
}

fn found(library: &Library, shelf: Shelf, id: &str) -> Result<Found, String> {
    library.find(shelf, id).ok_or_else(|| missing(shelf, id))
}

/// Everything on a shelf, each id once.
fn gathered<T>(
    library: &Library,
    shelf: Shelf,
    read: impl Fn(&str) -> Result<T, String>,
) -> Gathered<T> {
    let own = library.own(shelf).map(|(id, _)| id.to_owned());
    let built_in = shipped::all().filter(|d| d.shelf == shelf);
    let ids: BTreeSet<String> = own.chain(built_in.map(|d| d.id.to_owned())).collect();
    let (mut sound, mut broken) = (Vec::new(), Vec::new());
    for id in &ids {
        match read(id) {
            Ok(value) => sound.push(value),
            Err(why) => broken.push(why),
        }
    }
    Gathered { sound, broken }
}

/// The drill of that id.
pub(crate) fn plan(library: &Library, id: &str) -> Result<Plan, String> {
    let found = found(library, Shelf::Drill, id)?;
    let read = document::drill(&found.name, &found.bytes, None);
    read.value.ok_or_else(|| broken(Shelf::Drill, id))
}

/// All drills, by number.
pub(crate) fn plans(library: &Library) -> Gathered<Plan> {
    let mut plans = gathered(library, Shelf::Drill, |id| plan(library, id));
    let order = |a: &Plan, b: &Plan| (a.number, &a.id).cmp(&(b.number, &b.id));
    plans.sound.sort_by(order);
    plans
}

/// The truck of that id.
fn truck(library: &Library, id: &str) -> Result<Truck, String> {
    let found = found(library, Shelf::Truck, id)?;
    let find = |id: &str| library.find(Shelf::Truck, id).map(|f| f.bytes);
    let read = document::truck(&found.name, &found.bytes, &find, None);
    read.value.ok_or_else(|| broken(Shelf::Truck, id))
}

/// The fault of that id.
pub(crate) fn fault(library: &Library, id: &str) -> Result<Arc<Fault>, String> {
    let found = found(library, Shelf::Fault, id)?;
    let read = document::fault(&found.name, &found.bytes, None);
    let value = read.value.map(Arc::new);
    value.ok_or_else(|| broken(Shelf::Fault, id))
}

/// All faults.
pub(crate) fn faults(library: &Library) -> Gathered<Arc<Fault>> {
    gathered(library, Shelf::Fault, |id| fault(library, id))
}

/// The drill that a script plays, told from its text before the text is read whole.
pub(crate) fn drill_of(library: &Library, script: &str) -> Result<String, String> {
    let found = found(library, Shelf::DrillScript, script)?;
    shipped::member(&found.bytes, "drill")
        .ok_or_else(|| format!("The script {script} names no drill; levelhand check says more."))
}

/// A script of a drill, or everything that is wrong with it; its entries are held
/// against the procedure, where one is given.
fn script(library: &Library, id: &str, graph: Option<&Procedure>) -> Result<DrillScript, String> {
    let found = found(library, Shelf::DrillScript, id)?;
    let read = document::drill_script(&found.name, &found.bytes, graph, None);
    let placed = read.placed();
    read.value.ok_or_else(|| draw_all(&placed, false))
}

/// A script with the one it is like.
pub(crate) fn script_with_base(
    library: &Library,
    id: &str,
    graph: Option<&Procedure>,
) -> Result<(DrillScript, Option<DrillScript>), String> {
    let own = script(library, id, graph)?;
    let Some(like) = &own.like else {
        return Ok((own, None));
    };
    let base = script(library, like, graph)?;
    if let Some(other) = &base.like {
        return Err(format!(
            "The script {id} is like {like}, which is itself like {other}; a script can only be like one that is whole. Name that one."
        ));
    }
    Ok((own, Some(base)))
}

/// What a drill is made of.
pub(crate) fn ground(library: &Library, new: &NewDrill) -> Result<Ground, String> {
    let mut plan = plan(library, &new.drill)?;
    if let Some(faults) = &new.faults {
        plan.faults = faults.clone();
    }
    let truck = truck(library, &plan.truck)?;
    let known = faults(library).sound;
    let faults =
        choose_faults(&plan, &known, new.seed).map_err(|name| missing(Shelf::Fault, &name))?;
    let coach = match &plan.coach {
        Some(script) => {
            let (own, base) = script_with_base(library, script, None)?;
            deeds_by_step(&own, base.as_ref())
        }
        None => BTreeMap::new(),
    };
    Ok(Ground {
        coach,
        plan: Arc::new(plan),
        truck: Arc::new(truck),
        faults,
        known,
        seed: new.seed,
        by: new.by.clone(),
    })
}

/// The rows of the course.
pub(crate) fn rows(library: &Library) -> Gathered<DrillRow> {
    let Gathered {
        sound: plans,
        broken,
    } = plans(library);
    let rows = plans
        .iter()
        .map(|plan| DrillRow {
            id: plan.id.clone(),
            title: plan.title.clone(),
            number: plan.number,
            coaching: plan.coaching.words().to_owned(),
            aim: plan.aim.clone(),
            after: plan.after.clone(),
        })
        .collect();
    Gathered {
        sound: rows,
        broken,
    }
}
