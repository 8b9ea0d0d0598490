//! The step graph, sheets and instruments as valid data.
//!
//! A [`Procedure`] is what a lead hand wrote, with every id resolved and every
//! default filled in; `document` makes it from text, `job` runs it, `proof`
//! checks it. Nothing here reads text, keeps state or judges anything. The rules
//! S1 to S16 that these types carry are set out in `DEVELOPERS.md`.

mod graph;
mod id;
mod instrument;
mod limit;
mod sheet;
mod step;

pub use graph::{
    Act, Ask, Condition, Duty, Hazard, Lasts, Phase, Procedure, Reading, Role, Series, Setting,
    SheetNeed, Signal, When, WorkInput, Working,
};
pub use id::{
    ActId, ChoiceId, ConditionId, DutyId, HazardId, IdError, InstrumentId, PhaseId, ProcedureId,
    RoleId, SettingId, SheetId, SheetKey, StepId, TickId, ValueId, is_plain_id,
};
pub use instrument::{Instrument, Instruments};
pub use limit::{BoundSpec, Grade, Limit, Side, Subject};
pub use sheet::{Sheet, SheetEntry, SheetValue, has_stray_brace, sheet_keys};
pub use step::{Body, Choice, Confirm, EndKind, Outcome, Step, StepKind, Tick};
