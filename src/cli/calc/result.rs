//! What a sum gave, as a table and as data.

use serde_json::{Value, json};

use crate::calc::{Drawn, Evaluation, Found, Given, Output, Share, Sum, Trials};
use crate::quantity::{Measured, Quantity, System, Unit};

/// A sum with its inputs and results.
pub(super) struct Shown<'a> {
    pub(super) sum: &'static Sum,
    pub(super) given: &'a [Option<Given>],
    pub(super) found: &'a Evaluation,
    pub(super) trials: Option<&'a Trials>,
    pub(super) seed: u64,
    pub(super) units: System,
}

/// Significant digits of a result that is taken as exact.
const DIGITS: i32 = 5;

/// Decimals that show so many significant digits.
fn decimals(value: Quantity, unit: Unit) -> u8 {
    let size = value.in_unit(unit).unwrap_or(0.0).abs();
    if size < 1e-9 {
        return unit.usual_decimals(value.kind());
    }
    let whole = size.log10().floor() as i32 + 1;
    u8::try_from((DIGITS - whole).clamp(0, 8)).unwrap_or(0)
}

fn said(output: &Output, value: Quantity, unit: Unit, places: u8) -> String {
    if output.plain {
        value.show(unit, places)
    } else {
        value.show_in_words(unit, places)
    }
}

impl Shown<'_> {
    /// Results, then what the uncertainty is made of, then what it rests on.
    pub(super) fn table(&self) -> String {
        let mut lines = vec![self.sum.title.to_owned(), String::new()];
        let wide = self
            .sum
            .outputs
            .iter()
            .map(|o| o.title.chars().count())
            .max()
            .unwrap_or(0);
        for (output, found) in self.sum.outputs.iter().zip(&self.found.results) {
            let said = match found {
                None => "none with these inputs".to_owned(),
                Some(Found::Text(text)) => (*text).to_owned(),
                Some(Found::Value { measured, .. }) => {
                    let value = measured.value();
                    let unit = output.unit_of(value.kind(), self.units);
                    output.say(measured, self.units, decimals(value, unit))
                }
            };
            let pad = wide - output.title.chars().count();
            lines.push(format!("  {}{}  {said}", output.title, " ".repeat(pad)));
        }
        lines.extend(self.shares());
        lines.extend(self.together());
        lines.extend(self.drawn());
        lines.push(String::new());
        for (at, line) in self.sum.formula.iter().enumerate() {
            let head = if at == 0 { "formula" } else { "" };
            lines.push(format!("{head:<8} {line}"));
        }
        lines.push(format!("{:<8} {}", "range", self.sum.range));
        lines.push(format!("{:<8} {}", "source", self.sum.source));
        lines.push("The vehicle maker's instructions come before anything worked out here.".into());
        lines.join("\n")
    }

    /// Inputs that the sum takes as read with one instrument, where that takes an error
    /// out of the results.
    fn together(&self) -> Option<String> {
        let marked = |mark: char| {
            self.sum
                .inputs
                .iter()
                .filter(move |i| i.shared == Some(mark))
        };
        let mut marks: Vec<char> = self.sum.inputs.iter().filter_map(|i| i.shared).collect();
        marks.sort_unstable();
        marks.dedup();
        let repeats = |given: &Option<Given>| match given {
            Some(Given::Points(points)) => {
                points.iter().any(|p| p.measured.u_repeated().si() > 0.0)
            }
            Some(Given::Word(_)) | None => false,
        };
        if marks.is_empty() || !self.given.iter().any(repeats) {
            return None;
        }
        let groups: Vec<String> = marks
            .into_iter()
            .map(|mark| marked(mark).map(|i| i.key).collect::<Vec<_>>().join(", "))
            .collect();
        Some(format!(
            "taken as read with one instrument, whose ± cancels in a difference: {}; what is new in each reading goes behind step",
            groups.join(" / ")
        ))
    }

    /// Which inputs bring how much of each uncertainty, the greatest first.
    fn shares(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for (output, found) in self.sum.outputs.iter().zip(&self.found.results) {
            let Some(Found::Value { measured, shares }) = found else {
                continue;
            };
            if measured.u().si() == 0.0 {
                continue;
            }
            let squares: f64 = shares.iter().map(|s| s.part * s.part).sum();
            let mut sorted: Vec<&Share> = shares.iter().filter(|s| s.part != 0.0).collect();
            sorted.sort_by(|a, b| b.part.abs().total_cmp(&a.part.abs()));
            let told: Vec<String> = sorted
                .iter()
                .take(4)
                .map(|s| {
                    format!(
                        "{} {:.0} %",
                        self.input_name(s),
                        100.0 * s.part * s.part / squares
                    )
                })
                .collect();
            if !told.is_empty() {
                lines.push(format!("  {}: {}", output.title, told.join(", ")));
            }
        }
        if !lines.is_empty() {
            lines.insert(0, "uncertainty (first order) comes from".to_owned());
            lines.insert(0, String::new());
        }
        lines
    }

    fn input_name(&self, share: &Share) -> String {
        let key = self.sum.inputs.get(share.input).map_or("", |i| i.key);
        if share.count > 1 {
            return format!(
                "one instrument's error in {key} and {} more",
                share.count - 1
            );
        }
        let many = matches!(self.given.get(share.input), Some(Some(Given::Points(points))) if points.len() > 1);
        if many {
            format!("{key} {}", share.nth + 1)
        } else {
            key.to_owned()
        }
    }

    fn drawn(&self) -> Vec<String> {
        let Some(trials) = self.trials else {
            return Vec::new();
        };
        let mut lines = vec![
            String::new(),
            format!(
                "Monte Carlo, {} draws from seed {} ({} refused by the sum): mean, and where 95 % lie",
                trials.made, self.seed, trials.refused
            ),
        ];
        for drawn in &trials.results {
            let Some(output) = self.sum.outputs.get(drawn.output) else {
                continue;
            };
            let unit = output.unit_of(drawn.mean.kind(), self.units);
            let is_fixed = drawn.deviation.si() <= 1e-12 * drawn.mean.si().abs();
            let Ok(mean) = Measured::new(drawn.mean, drawn.deviation) else {
                continue;
            };
            if is_fixed {
                continue;
            }
            let places = mean.places(unit);
            lines.push(format!(
                "  {}: {}, {} to {}; standard uncertainty {}",
                output.title,
                said(output, drawn.mean, unit, places),
                said(output, drawn.low, unit, places),
                said(output, drawn.high, unit, places),
                drawn.deviation.show(unit, places.saturating_add(1)),
            ));
        }
        lines
    }

    /// The same as data. Values are in SI and in the unit that is shown.
    pub(super) fn data(&self) -> String {
        let mut inputs = serde_json::Map::new();
        for (input, given) in self.sum.inputs.iter().zip(self.given) {
            let value = match given {
                None => Value::Null,
                Some(Given::Word(word)) => json!(word),
                Some(Given::Points(points)) => {
                    let points: Vec<Value> = points
                        .iter()
                        .map(|p| {
                            json!({ "amount": self.amount(p.measured), "second": p.second,
                                "instrument": p.instrument })
                        })
                        .collect();
                    json!(points)
                }
            };
            inputs.insert(input.key.to_owned(), value);
        }
        let mut results = serde_json::Map::new();
        for (output, found) in self.sum.outputs.iter().zip(&self.found.results) {
            let value = match found {
                None => Value::Null,
                Some(Found::Text(text)) => json!({ "text": text }),
                Some(Found::Value { measured, shares }) => {
                    let shares: Vec<Value> = shares
                        .iter()
                        .map(|s| {
                            json!({ "input": self.sum.inputs.get(s.input).map(|i| i.key),
                                "nth": s.nth,
                                "moved_together": s.count, "sensitivity_si": s.sensitivity, "part_si": s.part })
                        })
                        .collect();
                    json!({ "amount": self.amount(*measured), "shares": shares })
                }
            };
            results.insert(output.key.to_owned(), value);
        }
        let trials = self.trials.map(|t| {
            let results: serde_json::Map<String, Value> =
                t.results.iter().filter_map(|d| self.draw_data(d)).collect();
            json!({ "draws": t.made, "refused": t.refused, "seed": self.seed, "results": results })
        });
        let all = json!({
            "format": "levelhand result 1", "sum": self.sum.name, "inputs": inputs,
            "results": results, "monte_carlo": trials,
            "source": self.sum.source, "range": self.sum.range,
        });
        serde_json::to_string_pretty(&all).unwrap_or_default()
    }

    fn draw_data(&self, drawn: &Drawn) -> Option<(String, Value)> {
        let output = self.sum.outputs.get(drawn.output)?;
        let value = json!({ "mean_si": drawn.mean.si(), "u_si": drawn.deviation.si(),
            "low_si": drawn.low.si(), "high_si": drawn.high.si() });
        Some((output.key.to_owned(), value))
    }

    fn amount(&self, measured: Measured) -> Value {
        let value = measured.value();
        let unit = value.kind().shown(self.units);
        json!({
            "kind": value.kind().key(), "value": value.in_unit(unit).ok(),
            "unit": unit.symbol_for(value.kind()), "si": value.si(),
            "u_si": measured.u().si(), "expanded_si": measured.expanded().si(),
        })
    }
}
