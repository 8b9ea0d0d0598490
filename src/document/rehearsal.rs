//! Rehearsals.

use std::collections::BTreeMap;

use super::code::{BAD_DAY, OUT_OF_RANGE, UNKNOWN_NAME};
use super::form;
use super::json::{Json, Node};
use super::name::Name;
use super::reader::{Fields, LINE, Reader, at};
use crate::procedure::{ConditionId, Outcome, ProcedureId, RoleId, Step, StepId, TickId, ValueId};
use crate::quantity::Day;
use crate::rehearsal::{
    ConfirmWord, Correct, Expect, Move, Rehearsal, SeriesPoint, StopWord, Swap, TickWord, Witnessed,
};

/// The format of rehearsals.
pub(super) const FORMAT: &str = "levelhand rehearsal 1";

const CONFIRM: [(&str, ConfirmWord); 6] = [
    ("enter", ConfirmWord::Enter),
    ("hold", ConfirmWord::Hold),
    ("pulse", ConfirmWord::Pulse),
    ("wait", ConfirmWord::Wait),
    ("lapse", ConfirmWord::Lapse),
    ("go_on", ConfirmWord::GoOn),
];

/// When a rehearsal starts that doesn't say: a Monday morning.
const USUAL_START: (i32, u32, u32) = (2026, 3, 2);

/// Eight in the morning, in ms.
const EIGHT_MS: i64 = 8 * 3_600_000;

impl Reader {
    /// A rehearsal. Its names are held against its procedure if the reader was given
    /// one; whether they fit where they stand shows in playing.
    pub(super) fn rehearsal(&mut self, root: &Node) -> Option<Rehearsal> {
        if !self.format(root, FORMAT) {
            return None;
        }
        let f = self.object(root, &form::REHEARSAL)?;
        self.schema(&f);
        let id: Option<ProcedureId> = self.need(&f, "id").and_then(|n| self.name(n));
        let title = self.title(&f);
        let procedure = self.need(&f, "procedure").and_then(|n| self.name(n));
        let sheet = self.need(&f, "sheet").and_then(|n| self.name(n));
        let instruments: Option<ProcedureId> =
            self.need(&f, "instruments").and_then(|n| self.name(n));
        let like: Option<ProcedureId> = f.get("like").and_then(|n| self.name(n));
        let start_ms = match f.get("start") {
            Some(node) => self.start(node),
            None => usual_start(),
        };
        let end = self.need(&f, "end").and_then(|n| self.name(n));
        let owed_at_end = f
            .get("owed_at_end")
            .map(|n| self.fresh_names(n).into_iter().collect());
        let moves = self.need(&f, "moves").map(|n| self.moves(n));
        Some(Rehearsal {
            id: id?.to_string(),
            title,
            procedure: procedure?,
            sheet: sheet?,
            instruments: instruments?.to_string(),
            like: like.map(|l| l.to_string()),
            start_ms: start_ms?,
            end: end?,
            owed_at_end,
            moves: moves?,
        })
    }

    fn start(&mut self, node: &Node) -> Option<i64> {
        let text = self.string(node)?;
        let day = text.get(..10).and_then(|d| d.parse::<Day>().ok());
        let minutes = match text.get(11..16) {
            None => Some(8 * 60),
            Some(time) => time
                .split_once(':')
                .and_then(|(h, m)| Some(h.parse::<i64>().ok()? * 60 + m.parse::<i64>().ok()?)),
        };
        let (Some(day), Some(minutes)) = (day, minutes) else {
            let say = "this is no start; write a day, 2026-03-02, or a day and a time, 2026-03-02T08:00:00+00:00";
            self.push(at(BAD_DAY, node.span, say));
            return None;
        };
        Some(day.start_ms() + minutes * 60_000)
    }

    fn moves(&mut self, node: &Node) -> Vec<Move> {
        let items = self.items(node).unwrap_or(&[]);
        items
            .iter()
            .filter_map(|item| self.one_move(item))
            .collect()
    }

    fn one_move(&mut self, node: &Node) -> Option<Move> {
        let f = self.object(node, &form::MOVE)?;
        self.move_of(&f)
    }

    /// What is entered at a step; a drill's move holds more than this.
    pub(super) fn move_of(&mut self, f: &Fields<'_>) -> Option<Move> {
        let step: Option<StepId> = self.need(f, "at").and_then(|n| self.name(n));
        // Without its step a move is none, but the rest of it is looked at too.
        let stand_in = || StepId::new("unknown").ok();
        let mut made = Move::at(step.clone().or_else(stand_in)?);
        made.title = self.line_in(f, "title", LINE);
        made.visit = f.get("visit").and_then(|n| self.count(n, 1, 1000));
        if let Some(node) = f.get("expect") {
            made.expect = self.expect(node).unwrap_or_default();
        }
        made.after_ms = f
            .get("after")
            .and_then(|n| self.any_time_ms(n))
            .unwrap_or(0);
        made.resume = self.flag(f, "resume");
        made.attest = self.map_in(f, "attest", Self::attested);
        made.swaps = self.map_in::<RoleId, _>(f, "use", Self::swap);
        self.answers(f, &mut made);
        made.witness = self.map_in(f, "witness", Self::witnessed);
        made.series = self.list(f, "series", Self::point);
        made.overrides = self.overrides(f);
        made.correct = self.list(f, "correct", Self::correction);
        made.repeat = f.get("repeat").and_then(|n| self.name(n));
        self.ending(f, &mut made);
        step?;
        self.hold_to_step(f, &made);
        Some(made)
    }

    /// Ticks, the choice and limits of a move are those of its step.
    fn hold_to_step(&mut self, f: &Fields<'_>, made: &Move) {
        let graph = self.against.as_ref();
        let Some(step) = graph.and_then(|p| p.step(&made.at)).cloned() else {
            return;
        };
        if let Some(Json::Object(members)) = f.get("ticks").map(|n| &n.value) {
            let known = || step.ticks.iter().map(|t| t.id.as_str());
            for member in members.iter().filter(|m| m.key != "*") {
                if !known().any(|id| id == member.key) {
                    let sentence = format!("the step {} has no tick {:?}", step.id, member.key);
                    let finding = at(UNKNOWN_NAME, member.key_span, sentence);
                    self.push(finding.help_near(&member.key, known()));
                }
            }
        }
        if let (Some(choice), Some(node)) = (&made.choose, f.get("choose")) {
            let known = || step.choices().iter().map(|c| c.id.as_str());
            if !known().any(|id| id == choice.as_str()) {
                let sentence = format!("the step {} has no choice {:?}", step.id, choice.as_str());
                let finding = at(UNKNOWN_NAME, node.span, sentence);
                self.push(finding.help_near(choice.as_str(), known()));
            }
        }
        self.hold_limits(f.get("override"), &step);
        let verdicts = f.get("expect").and_then(|n| member(n, "verdicts"));
        self.hold_limits(verdicts, &step);
    }

    /// "limit 2" is a limit of the step; another key is a value of the procedure.
    fn hold_limits(&mut self, node: Option<&Node>, step: &Step) {
        let Some(Json::Object(members)) = node.map(|n| &n.value) else {
            return;
        };
        for member in members {
            let Some(number) = member.key.strip_prefix("limit ") else {
                let _known: Option<ValueId> = self.key(member);
                continue;
            };
            let number = number.parse::<usize>().ok();
            if !number.is_some_and(|n| (1..=step.limits.len()).contains(&n)) {
                let sentence = format!(
                    "the step {} has no {:?}; it has {}",
                    step.id,
                    member.key,
                    match step.limits.len() {
                        0 => "no limits".to_owned(),
                        1 => "one limit, \"limit 1\"".to_owned(),
                        n => format!("{n} limits, counted from 1"),
                    }
                );
                self.push(at(OUT_OF_RANGE, member.key_span, sentence));
            }
        }
    }

    fn answers(&mut self, f: &Fields<'_>, made: &mut Move) {
        if let Some(members) = f.get("ticks").and_then(|n| self.members(n, "ticks")) {
            for member in members {
                let Some(word) = self.tick_word(&member.node) else {
                    continue;
                };
                if member.key == "*" {
                    made.all_ticks = Some(word);
                } else if let Some(tick) = self.key::<TickId>(member) {
                    made.ticks.insert(tick, word);
                }
            }
        }
        made.read = self.typed_readings(f);
        made.again = f
            .get("again")
            .map(|n| self.fresh_names(n).into_iter().collect())
            .unwrap_or_default();
    }

    fn ending(&mut self, f: &Fields<'_>, made: &mut Move) {
        made.confirm = f.get("confirm").and_then(|n| self.word(n, &CONFIRM));
        made.choose = f.get("choose").and_then(|n| self.name(n));
        made.hand_over_to = self.map_in(f, "hand_over_to", |reader, node| reader.line(node, 40));
        let stops = [("taken", StopWord::Taken), ("carry_on", StopWord::CarryOn)];
        made.stop = f.get("stop").and_then(|n| self.word(n, &stops));
        made.refused = self.line_in(f, "refused", LINE);
        let outcomes = Outcome::ALL.map(|o| (o.key(), o));
        made.outcome = f.get("outcome").and_then(|n| self.word(n, &outcomes));
        made.to = f.get("to").and_then(|n| self.name(n));
    }

    fn expect(&mut self, node: &Node) -> Option<Expect> {
        let f = self.object(node, &form::EXPECT)?;
        let mut expect = Expect {
            holds: self.fresh_in(&f, "true"),
            not: self.fresh_in(&f, "not_true"),
            owed: self.fresh_in(&f, "owed"),
            not_owed: self.fresh_in(&f, "not_owed"),
            asked_again: None,
            known: self.fresh_in(&f, "known"),
            verdicts: BTreeMap::new(),
        };
        expect.asked_again = f
            .get("asked_again")
            .map(|n| self.fresh_names::<ConditionId>(n).into_iter().collect());
        let verdicts = f.get("verdicts").and_then(|n| self.members(n, "verdicts"));
        let words = [
            ("within", "within"),
            ("outside", "outside"),
            ("too_close", "too_close"),
        ];
        for member in verdicts.unwrap_or(&[]) {
            if let Some(word) = self.word(&member.node, &words) {
                expect.verdicts.insert(member.key.clone(), word.to_owned());
            }
        }
        Some(expect)
    }

    /// `true`, or the reading as typed.
    #[expect(
        clippy::option_option,
        reason = "the outer says whether it was understood, the inner whether there is a reading"
    )]
    fn attested(&mut self, node: &Node) -> Option<Option<String>> {
        if node.value == Json::Bool(true) {
            return Some(None);
        }
        self.line(node, LINE).map(Some)
    }

    fn swap(&mut self, node: &Node) -> Option<Swap> {
        let f = self.object(node, &form::SWAP)?;
        let instrument = self.need(&f, "instrument").and_then(|n| self.name(n));
        let zero = self.line_in(&f, "zero", LINE);
        let reason = self.need(&f, "reason").and_then(|n| self.line(n, LINE));
        Some(Swap {
            instrument: instrument?,
            zero,
            reason: reason?,
        })
    }

    fn tick_word(&mut self, node: &Node) -> Option<TickWord> {
        if matches!(node.value, Json::Object(_)) {
            let f = self.object(node, &form::ANSWER)?;
            if let Some(why) = f.get("not") {
                return self.line(why, LINE).map(TickWord::Not);
            }
            return self
                .need(&f, "yes")
                .and_then(|n| self.line(n, LINE))
                .map(TickWord::Yes);
        }
        let words = [("yes", true), ("no", false)];
        let good = self.word(node, &words)?;
        Some(if good {
            TickWord::Yes(String::new())
        } else {
            TickWord::No
        })
    }

    /// Readings as typed, in the order of the text.
    fn typed_readings(&mut self, f: &Fields<'_>) -> Vec<(ValueId, String)> {
        let members = f.get("read").and_then(|n| self.members(n, "readings"));
        let mut read = Vec::new();
        for member in members.unwrap_or(&[]) {
            if let (Some(id), Some(typed)) = (self.key(member), self.line(&member.node, LINE)) {
                read.push((id, typed));
            }
        }
        read
    }

    fn witnessed(&mut self, node: &Node) -> Option<Witnessed> {
        let f = self.object(node, &form::WITNESSED)?;
        let by = self.need(&f, "by").and_then(|n| self.line(n, 40));
        let value = self.need(&f, "value").and_then(|n| self.line(n, LINE));
        Some(Witnessed {
            by: by?,
            value: value?,
        })
    }

    fn point(&mut self, node: &Node) -> Option<SeriesPoint> {
        let f = self.object(node, &form::POINT)?;
        let after_ms = self.need(&f, "after").and_then(|n| self.any_time_ms(n));
        let read = self.typed_readings(&f);
        Some(SeriesPoint {
            after_ms: after_ms?,
            read,
        })
    }

    fn overrides(&mut self, f: &Fields<'_>) -> BTreeMap<usize, String> {
        let members = f.get("override").and_then(|n| self.members(n, "overrides"));
        let mut overrides = BTreeMap::new();
        for member in members.unwrap_or(&[]) {
            let number = member
                .key
                .strip_prefix("limit ")
                .and_then(|n| n.parse::<usize>().ok())
                .filter(|n| *n > 0);
            let Some(number) = number else {
                let say = format!("{:?} is no limit; write \"limit 1\"", member.key);
                self.push(at(OUT_OF_RANGE, member.key_span, say));
                continue;
            };
            if let Some(reason) = self.line(&member.node, LINE) {
                overrides.insert(number, reason);
            }
        }
        overrides
    }

    fn correction(&mut self, node: &Node) -> Option<Correct> {
        let f = self.object(node, &form::CORRECTION)?;
        let value = self.need(&f, "value").and_then(|n| self.name(n));
        let to = self.need(&f, "to").and_then(|n| self.line(n, LINE));
        let reason = self.need(&f, "reason").and_then(|n| self.line(n, LINE));
        Some(Correct {
            value: value?,
            to: to?,
            reason: reason?,
        })
    }

    /// A list of names that are declared elsewhere.
    fn fresh_names<T: Name>(&mut self, node: &Node) -> Vec<T> {
        let items = self.items(node).unwrap_or(&[]);
        items.iter().filter_map(|n| self.name(n)).collect()
    }

    fn fresh_in<T: Name>(&mut self, f: &Fields<'_>, name: &str) -> Vec<T> {
        f.get(name)
            .map_or_else(Vec::new, |node| self.fresh_names(node))
    }

    /// An object from names to whatever `read` makes of the values.
    fn map_in<K: Name, V>(
        &mut self,
        f: &Fields<'_>,
        name: &str,
        read: impl Fn(&mut Self, &Node) -> Option<V>,
    ) -> BTreeMap<K, V> {
        let members = f.get(name).and_then(|n| self.members(n, name));
        let mut map = BTreeMap::new();
        for member in members.unwrap_or(&[]) {
            if let (Some(key), Some(value)) = (self.key(member), read(self, &member.node)) {
                map.insert(key, value);
            }
        }
        map
    }

    fn list<V>(
        &mut self,
        f: &Fields<'_>,
        name: &str,
        read: impl Fn(&mut Self, &Node) -> Option<V>,
    ) -> Vec<V> {
        let items = f.get(name).and_then(|n| self.items(n)).unwrap_or(&[]);
        items.iter().filter_map(|n| read(self, n)).collect()
    }
}

/// A member of an object.
fn member<'a>(node: &'a Node, key: &str) -> Option<&'a Node> {
    match &node.value {
        Json::Object(members) => members.iter().find(|m| m.key == key).map(|m| &m.node),
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::String(_) | Json::List(_) => None,
    }
}

fn usual_start() -> Option<i64> {
    let (year, month, day) = USUAL_START;
    Day::of(year, month, day).map(|day| day.start_ms() + EIGHT_MS)
}
