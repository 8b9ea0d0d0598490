//! Lists of instruments.

use std::collections::BTreeMap;

use super::code::{BAD_DAY, BAD_VALUE, DUPLICATE_NAME};
use super::form;
use super::json::Node;
use super::reader::{Fields, Reader, at, head};
use crate::finding::Subject;
use crate::procedure::{Instrument, InstrumentId, Instruments, RoleId};
use crate::quantity::{Day, ErrorLimit, Grade, Kind, Metrology, Quantity, Unit, read_literal};

/// The format of instruments.
pub(super) const FORMAT: &str = "levelhand instruments 1";

impl Reader {
    /// A list of instruments.
    pub(super) fn instruments(&mut self, root: &Node) -> Option<Instruments> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::INSTRUMENTS)?;
        self.schema(&f);
        let id: Option<InstrumentId> = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let node = self.need(&f, "instruments")?;
        let mut list = BTreeMap::new();
        for item in self.items(node)? {
            let Some((instrument, span)) = self.instrument(item) else {
                continue;
            };
            let id = instrument.id.clone();
            if list.contains_key(&id) {
                self.push(at(
                    DUPLICATE_NAME,
                    span,
                    format!("two instruments are called {id}"),
                ));
            }
            list.insert(id, instrument);
        }
        Some(Instruments {
            id: id?.to_string(),
            title,
            list,
        })
    }

    fn instrument(&mut self, node: &Node) -> Option<(Instrument, super::json::Span)> {
        let f = self.object(node, &form::INSTRUMENT)?;
        let id_node = self.need(&f, "id");
        let id: Option<InstrumentId> = id_node.and_then(|n| self.name(n));
        let span = id_node.map_or_else(|| head(node), |n| n.span);
        if let Some(id) = &id {
            self.about(Subject::Instrument(id.to_string()), span, Some(&f));
        }
        let title = self.title(&f);
        let kind = self.need(&f, "kind").and_then(|n| self.kind(n));
        let metrology = kind.and_then(|kind| self.metrology(&f, kind));
        let roles = self.need(&f, "for").map(|n| self.role_list(n));
        let instrument = Instrument {
            id: id?,
            title,
            kind: kind?,
            metrology: metrology?,
            roles: roles?,
        };
        Some((instrument, span))
    }

    /// Roles are declared by procedures; here they are names only.
    fn role_list(&mut self, node: &Node) -> Vec<RoleId> {
        let mut roles: Vec<RoleId> = Vec::new();
        for item in self.items(node).unwrap_or_default() {
            let Some(role) = self.name::<RoleId>(item) else {
                continue;
            };
            if roles.contains(&role) {
                let sentence = format!("{role} stands twice in this list");
                self.push(at(DUPLICATE_NAME, item.span, sentence));
            } else {
                roles.push(role);
            }
        }
        roles
    }

    fn metrology(&mut self, f: &Fields<'_>, kind: Kind) -> Option<Metrology> {
        let span = self.need(f, "span").and_then(|n| self.pair(n));
        let ends = span.map(|(low, high)| (self.quantity(low, kind), self.quantity(high, kind)));
        let limit = self.error_limit(f, kind);
        let resolution = self
            .need(f, "resolution")
            .and_then(|n| self.quantity(n, kind.difference()));
        let due = match f.get("due") {
            Some(node) => Some(self.day(node)?),
            None => None,
        };
        let (low, high) = ends?;
        match Metrology::new(low?, high?, limit?, resolution?) {
            Ok(metrology) => Some(due.map_or(metrology, |due| metrology.with_due(due))),
            Err(error) => {
                self.push(at(
                    BAD_VALUE,
                    f.open(),
                    format!("this can't be an instrument: {error}"),
                ));
                None
            }
        }
    }

    fn error_limit(&mut self, f: &Fields<'_>, kind: Kind) -> Option<ErrorLimit> {
        match self.only_one(f, &["class", "limit", "of_reading"])? {
            "class" => self.class(f.get("class")?),
            "limit" => {
                let limit: Quantity = self.quantity(f.get("limit")?, kind.difference())?;
                Some(ErrorLimit::Absolute(limit))
            }
            _ => {
                let node = f.get("of_reading")?;
                let share = self.quantity(node, Kind::Ratio)?;
                Some(ErrorLimit::OfReading(share.in_unit(Unit::Percent).ok()?))
            }
        }
    }

    /// A class in percent of the span, or the letters of a grade.
    fn class(&mut self, node: &Node) -> Option<ErrorLimit> {
        let text = self.string(node)?;
        if let Some(grade) = Grade::from_name(text) {
            return Some(ErrorLimit::Grade(grade));
        }
        if let Ok(typed) = read_literal(text, Kind::Ratio)
            && typed.unit == Unit::One
            && (0.0..=20.0).contains(&typed.quantity.si())
        {
            return Some(ErrorLimit::Class(typed.quantity.si()));
        }
        let grades: Vec<&str> = Grade::ALL.iter().map(|g| g.name()).collect();
        let finding = at(
            BAD_VALUE,
            node.span,
            format!("{text:?} is no accuracy class"),
        )
        .help("write the figure on the dial, such as \"1.6\" (percent of the span)")
        .help(format!(
            "or one of the letter grades: {}",
            grades.join(", ")
        ));
        self.push(finding);
        None
    }

    fn day(&mut self, node: &Node) -> Option<Day> {
        let text = self.string(node)?;
        match text.parse::<Day>() {
            Ok(day) => Some(day),
            Err(error) => {
                self.push(at(BAD_DAY, node.span, error.to_string()));
                None
            }
        }
    }
}
