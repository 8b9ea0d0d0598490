//! Small pictures of what a step works out, where a sum of it has one.
//!
//! A picture is lines of text as wide as the truck's panel, of box and half-block
//! characters that a plain console has; what it shows is told in words and figures
//! too. Each picture is drawn from plain numbers; its file knows no job. Here they
//! are taken from a sum's inputs and results, by their keys: what is not there is
//! not drawn.

mod canvas;
mod driveline;
mod floor;
mod trace;

use ratatui::text::{Line, Span};

use self::canvas::Canvas;
use self::driveline::{Band, Driveline};
use self::floor::{Floor, Spot};
use self::trace::{Trace, Watched};
use super::item;
use super::theme::Theme;
use super::truck;
use crate::app::Work;
use crate::calc::{self, Evaluation, Given, Picture, Sum};
use crate::job::{given, given_one};
use crate::procedure::{ValueId, WorkInput, Working};
use crate::quantity::{Kind, Measured, Quantity, Unit};

/// Cells across.
const WIDTH: usize = truck::WIDTH as usize;

/// Rows of the lowest picture.
pub(super) const LEAST: usize = 6;

/// The pictures of the step at hand, one under the other; the first line of each is
/// its title.
pub(super) fn lines(work: &Work, theme: Theme) -> Vec<Line<'static>> {
    let workings = drawn_workings(work);
    let pictures = [
        trace_of(work, &workings).map(|t| t.rows()),
        driveline_of(work, &workings).map(|d| d.rows()),
        floor_of(work, &workings).map(|f| f.rows()),
    ];
    let mut lines: Vec<Line<'static>> = Vec::new();
    for rows in pictures.into_iter().flatten() {
        if !lines.is_empty() {
            lines.push(Line::default());
        }
        lines.extend(rows.into_iter().enumerate().map(|(n, row)| {
            if n == 0 {
                Line::from(Span::styled(row, theme.title()))
            } else {
                Line::from(row)
            }
        }));
    }
    lines
}

/// A working whose sum has a picture.
struct Pictured<'w> {
    working: &'w Working,
    sum: &'static Sum,
    picture: Picture,
}

/// The workings of the step whose sums have pictures, and those that rest on a
/// watch that runs now.
fn drawn_workings(work: &Work) -> Vec<Pictured<'_>> {
    let Some(step) = work.step().filter(|s| work.state.inside() == Some(&s.id)) else {
        return Vec::new();
    };
    let watched: Vec<&ValueId> = work
        .state
        .watches
        .values()
        .flat_map(|w| &w.readings)
        .collect();
    let runs = |working: &Working| {
        let mut inputs = working.inputs.iter();
        inputs.any(|i| matches!(i, WorkInput::Series(id) if watched.contains(&id)))
    };
    let workings = work.setup.procedure.workings.iter();
    workings
        .filter(|(id, working)| step.works.contains(id) || runs(working))
        .filter_map(|(_, working)| {
            let sum = calc::find(&working.sum)?;
            let picture = sum.picture?;
            Some(Pictured {
                working,
                sum,
                picture,
            })
        })
        .collect()
}

/// A sum with its inputs and results, looked up by key.
struct Facts {
    sum: &'static Sum,
    given: Vec<Option<Given>>,
    found: Evaluation,
}

impl Facts {
    fn of(work: &Work, it: &Pictured<'_>) -> Option<Self> {
        let given = given(&work.setup, &work.state, it.working, it.sum)?;
        let found = it.sum.bare(&given).ok()?;
        Some(Self {
            sum: it.sum,
            given,
            found,
        })
    }

    /// Those of one picture, each sum with the same inputs once.
    fn all(work: &Work, workings: &[Pictured<'_>], picture: Picture) -> Vec<Self> {
        let mut all: Vec<(&Pictured<'_>, Self)> = Vec::new();
        for it in workings.iter().filter(|w| w.picture == picture) {
            let same = |(other, _): &(&Pictured<'_>, Self)| {
                other.sum.name == it.sum.name
                    && other.working.inputs == it.working.inputs
                    && other.working.slots == it.working.slots
            };
            if all.iter().any(same) {
                continue;
            }
            if let Some(facts) = Self::of(work, it) {
                all.push((it, facts));
            }
        }
        all.into_iter().map(|(_, facts)| facts).collect()
    }

    fn result(&self, key: &str) -> Option<Quantity> {
        let measured: Option<Measured> = self.found.value(self.sum.output(key)?);
        measured.map(|m| m.value())
    }

    fn text(&self, key: &str) -> Option<&'static str> {
        self.found.text(self.sum.output(key)?)
    }

    fn word(&self, key: &str) -> Option<&str> {
        match self.given.get(self.sum.input(key)?) {
            Some(Some(Given::Word(word))) => Some(word),
            Some(Some(Given::Points(_)) | None) | None => None,
        }
    }

    fn inputs(&self, key: &str) -> Vec<Quantity> {
        let given = self.sum.input(key).and_then(|at| self.given.get(at));
        match given {
            Some(Some(Given::Points(points))) => {
                points.iter().map(|p| p.measured.value()).collect()
            }
            Some(Some(Given::Word(_)) | None) | None => Vec::new(),
        }
    }
}

/// The first of several facts that knows a key.
fn first<T>(facts: &[Facts], of: impl Fn(&Facts) -> Option<T>) -> Option<T> {
    facts.iter().find_map(of)
}

fn in_unit(quantity: Quantity, unit: Unit) -> Option<f64> {
    quantity.in_unit(unit).ok()
}

/// Everything that is watched, in one picture: side shows against side.
fn trace_of(work: &Work, workings: &[Pictured<'_>]) -> Option<Trace> {
    let mut trace: Option<(Trace, Kind, Unit)> = None;
    let mut drawn: Vec<&ValueId> = Vec::new();
    for it in workings.iter().filter(|w| w.picture == Picture::Trace) {
        let facts = Facts::of(work, it);
        for (input, slot) in it.working.inputs.iter().zip(&it.working.slots) {
            let WorkInput::Series(id) = input else {
                continue;
            };
            let Some(Given::Points(points)) = given_one(&work.setup, &work.state, input) else {
                continue;
            };
            let Some(kind) = points.first().map(|p| p.measured.kind()) else {
                continue;
            };
            if drawn.contains(&id) {
                continue;
            }
            drawn.push(id);
            let (trace, first_kind, unit) = trace.get_or_insert_with(|| {
                let unit = item::unit_of(work, id);
                let symbol = unit.symbol_for(kind);
                let places = usize::from(unit.usual_decimals(kind));
                (Trace::new(symbol, places), kind, unit)
            });
            if *first_kind != kind {
                continue;
            }
            let known = work.setup.procedure.value(id);
            let title = known.map_or_else(|| id.to_string(), |(title, _)| title.to_owned());
            let points = points.iter().filter_map(|p| {
                let value = in_unit(p.measured.value(), *unit)?;
                Some((p.second?, value))
            });
            let rate = facts.as_ref().and_then(|f| falling(f, *slot, kind, *unit));
            trace.watched.push(Watched {
                title,
                points: points.collect(),
                rate,
            });
        }
    }
    trace.map(|(trace, _, _)| trace)
}

/// How fast the line through a watched input falls, in a unit a second.
fn falling(facts: &Facts, slot: usize, kind: Kind, unit: Unit) -> Option<f64> {
    let key = facts.sum.inputs.get(slot)?.key;
    let rate = facts
        .result(&format!("{key}_rate"))
        .or_else(|| facts.result("rate"))?;
    let one = Quantity::new(1.0, unit, kind.difference()).ok()?;
    Some(rate.si() / one.si())
}

fn driveline_of(work: &Work, workings: &[Pictured<'_>]) -> Option<Driveline> {
    let facts = Facts::all(work, workings, Picture::Driveline);
    driveline_from(&facts, Kind::Length.shown(work.system()))
}

/// The driveline of several sums: slopes from one, the band from another.
fn driveline_from(facts: &[Facts], unit: Unit) -> Option<Driveline> {
    let degrees = |key: &str| {
        let found = first(facts, |f| f.result(key))?;
        in_unit(found, Unit::Degree)
    };
    let length = |key: &str| first(facts, |f| f.result(key)).and_then(|q| in_unit(q, unit));
    let given = |key: &str| {
        let found = first(facts, |f| f.inputs(key).first().copied())?;
        in_unit(found, unit)
    };
    let word = |key: &str| first(facts, |f| f.text(key)).map(str::to_owned);
    let band = length("lowest").zip(length("highest"));
    let places = unit.usual_decimals(Kind::Length);
    let at = facts.iter().find_map(|f| {
        f.result("pinion")?;
        let height = f.inputs("height").first()?.show(unit, places);
        let is_found = f.sum.name.ends_with("found");
        Some(format!(
            "{} {height}",
            if is_found { "as found," } else { "at" }
        ))
    });
    let drawn = Driveline {
        at,
        gearbox: degrees("gearbox"),
        coupling: degrees("coupling"),
        shaft: degrees("shaft"),
        pinion: degrees("pinion"),
        joints: [degrees("joint1"), degrees("joint2"), degrees("joint3")],
        band: band.map(|(lowest, highest)| Band {
            lowest,
            highest,
            ride: given("ride_height"),
            found: given("height"),
            unit: unit.symbol_for(Kind::Length),
            places: usize::from(places),
            below: word("closes_below"),
            above: word("closes_above"),
        }),
        no_band: word("at_ride").filter(|_| band.is_none()),
    };
    drawn.shows_something().then_some(drawn)
}

fn floor_of(work: &Work, workings: &[Pictured<'_>]) -> Option<Floor> {
    let facts = Facts::all(work, workings, Picture::Floor);
    facts.iter().find_map(floor_from)
}

fn floor_from(one: &Facts) -> Option<Floor> {
    let places = places_read(one).or_else(|| wheels_read(one))?;
    let lowest = places.iter().map(|p| p.2).reduce(f64::min)?;
    let spots = places.iter().map(|(along, across, height)| Spot {
        along_m: *along,
        across_m: *across,
        over_lowest_mm: (height - lowest) * 1e3,
    });
    let slope = |key: &str| in_unit(one.result(key)?, Unit::MillimetrePerMetre);
    let mm = |key: &str| one.result(key).map(|q| q.si() * 1e3);
    let worst = one.sum.output("worst").and_then(|at| {
        let said = one.found.text(at)?;
        match one.sum.outputs.get(at)?.gives {
            calc::Gives::Word(words) => words.iter().position(|w| *w == said),
            calc::Gives::Is(_) | calc::Gives::Like(_) | calc::Gives::ChangeOf(_) => None,
        }
    });
    Some(Floor {
        spots: spots.collect(),
        along_mm_per_m: slope("slope_along"),
        across_mm_per_m: slope("slope_across"),
        twist_mm: mm("twist"),
        worst,
        worst_mm: mm("largest"),
        wheel_off_mm: mm("off"),
    })
}

/// Along, across and height of the floor in m, each place typed with its height.
fn places_read(one: &Facts) -> Option<Vec<(f64, f64, f64)>> {
    let metres = |key: &str| one.inputs(key).into_iter().map(Quantity::si);
    let places = metres("along").zip(metres("across")).zip(metres("height"));
    let places: Vec<_> = places.map(|((x, y), z)| (x, y, z)).collect();
    (!places.is_empty()).then_some(places)
}

/// The same of four wheels by wheelbase and tracks, the drive axle at nothing.
fn wheels_read(one: &Facts) -> Option<Vec<(f64, f64, f64)>> {
    let metres = |key: &str| one.inputs(key).first().map(|q| q.si());
    let front = (metres("wheelbase")?, metres("track_front")? / 2.0);
    let rear = (0.0, metres("track_rear")? / 2.0);
    // A reading that counts down is greater where the floor is lower.
    let up = if one.word("counted") == Some("down") {
        -1.0
    } else {
        1.0
    };
    let wheels = [
        ("front_left", front.0, front.1),
        ("front_right", front.0, -front.1),
        ("rear_left", rear.0, rear.1),
        ("rear_right", rear.0, -rear.1),
    ];
    let heights = wheels.iter();
    heights
        .map(|(key, along, across)| Some((*along, *across, up * metres(key)?)))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::calc::read_entry;

    fn example(sum: &'static Sum) -> Facts {
        let mut given: Vec<Option<Given>> = Vec::new();
        for input in sum.inputs {
            let typed = sum.example.iter().find(|(key, _)| *key == input.key);
            let like = given.iter().flatten().find_map(|g| match g {
                Given::Points(points) => points.first().map(|p| p.measured.kind()),
                Given::Word(_) => None,
            });
            given.push(typed.map(|(_, text)| read_entry(input, text, like, None).unwrap()));
        }
        let found = sum.bare(&given).unwrap();
        Facts { sum, given, found }
    }

    /// The pictures of the examples of all sums that have one.
    fn drawn(picture: Picture) -> Vec<(&'static str, Vec<String>)> {
        let sums = calc::REGISTRY.iter();
        let with = sums.filter(|sum| sum.picture == Some(picture));
        with.map(|sum| {
            let facts = example(sum);
            let rows = match picture {
                Picture::Driveline => driveline_from(&[facts], Unit::Millimetre).unwrap().rows(),
                Picture::Floor => floor_from(&facts).unwrap().rows(),
                Picture::Trace => unreachable!("a trace is drawn from a job's watch"),
            };
            (sum.name, rows)
        })
        .collect()
    }

    #[test]
    fn every_sum_with_a_driveline_or_floor_is_drawn_from_its_own_example() {
        for picture in [Picture::Driveline, Picture::Floor] {
            for (name, rows) in drawn(picture) {
                assert!(rows.len() >= LEAST, "{name}: {rows:#?}");
                let wide = rows.iter().all(|r| crate::screen::text::width(r) <= WIDTH);
                assert!(wide, "{name}: {rows:#?}");
            }
        }
    }

    #[test]
    fn every_sum_with_a_trace_has_a_watch_to_draw() {
        let traced = calc::REGISTRY
            .iter()
            .filter(|sum| sum.picture == Some(Picture::Trace));
        for sum in traced {
            assert!(
                sum.inputs.iter().any(calc::Input::is_series),
                "{}",
                sum.name
            );
        }
    }
}
