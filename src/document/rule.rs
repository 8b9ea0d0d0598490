//! Rules over a whole procedure that need no walk along its ways; one file a rule.
//!
//! A rule takes a procedure whose names all resolve and gives its findings; it may
//! be run on one that was read in part, and then says nothing of what is missing.

mod act_missing;
mod act_undone;
mod answer;
mod asked;
mod choice_count;
mod does_not_apply;
mod end;
mod gate;
mod group;
mod idle_question;
mod idle_reading;
mod limit;
mod movement;
mod own_choice;
mod protection;
mod question;
mod route_entry;
mod series;
mod shape;
mod sheet_look;
mod sheet_text;
mod stop_route;
mod ungated;
mod value_sort;

pub(super) use limit::{bound, meets_nothing};

use crate::finding::Finding;
use crate::procedure::Procedure;

/// One rule.
type Rule = fn(&Procedure) -> Vec<Finding>;

const RULES: [Rule; 24] = [
    shape::step_shape,
    gate::gate_shape,
    movement::movement_shape,
    ungated::movement_ungated,
    asked::nothing_asked,
    answer::answers_alike,
    choice_count::choice_count,
    own_choice::choice_to_itself,
    sheet_look::sheet_look,
    sheet_text::sheet_text,
    group::groups,
    limit::impossible_limits,
    protection::advice_guards_people,
    does_not_apply::does_not_apply,
    act_missing::missing_act,
    act_undone::undone_act,
    question::no_question,
    idle_question::idle_question,
    idle_reading::idle_reading,
    series::not_a_series,
    end::ends,
    stop_route::stop_route,
    route_entry::route_entry,
    value_sort::value_sort,
];

/// What all rules find.
pub(super) fn all(procedure: &Procedure) -> Vec<Finding> {
    RULES.iter().flat_map(|rule| rule(procedure)).collect()
}
