//! What a procedure declares before its steps.

use std::collections::{BTreeMap, BTreeSet};

use super::code::{CLASHING_FIELDS, DUPLICATE_NAME, EMPTY, KIND_MISMATCH, MISSING_FIELD};
use super::form::{self, Form};
use super::json::{Json, Member, Node};
use super::measure::Kinds;
use super::name::{Name, Sort};
use super::reader::{Fields, LINE, Reader, TITLE, at};
use crate::finding::Subject;
use crate::procedure::{
    Act, ActId, Ask, Condition, ConditionId, Duty, DutyId, Hazard, HazardId, Lasts, Reading, Role,
    RoleId, Series, Setting, SettingId, SheetKey, SheetNeed, Signal, ValueId, When, is_plain_id,
};
use crate::quantity::Kind;

/// Later than this, a reading of a series is marked late, unless the series says
/// otherwise (S7), in ms.
const LATE_AFTER_MS: u64 = 30_000;

/// How an object of named things is told.
struct Section {
    /// The field of the root.
    field: &'static str,
    /// One of them.
    form: &'static Form,
    about: fn(String) -> Subject,
}

impl Reader {
    /// Takes note of all keys of a section, so that references can be told.
    pub(super) fn declare(&mut self, root: &Fields<'_>, field: &str, sort: Sort) {
        let Some(node) = root.get(field) else { return };
        let Some(members) = self.members(node, field) else {
            return;
        };
        for member in members.iter().filter(|m| m.key != "note" || !note(m)) {
            if !self.declared.add(sort, &member.key) {
                let sentence = format!(
                    "the name {:?} is given twice: readings and workings share one set of names",
                    member.key
                );
                self.push(at(DUPLICATE_NAME, member.key_span, sentence));
            }
        }
    }

    /// Reads each member of a section; what can't be read is left out.
    fn section<K: Name, V>(
        &mut self,
        root: &Fields<'_>,
        section: &Section,
        mut read: impl FnMut(&mut Self, &K, &Fields<'_>) -> Option<V>,
    ) -> BTreeMap<K, V> {
        let mut out = BTreeMap::new();
        let Some(Json::Object(members)) = root.get(section.field).map(|n| &n.value) else {
            return out;
        };
        for member in members.iter().filter(|m| m.key != "note" || !note(m)) {
            self.about((section.about)(member.key.clone()), member.key_span, None);
            let key: Option<K> = self.key(member);
            let Some(fields) = self.object(&member.node, section.form) else {
                continue;
            };
            let about = (section.about)(member.key.clone());
            self.spots.remove(&about);
            self.about(about, member.key_span, Some(&fields));
            let Some(key) = key else { continue };
            match read(self, &key, &fields) {
                Some(value) => {
                    out.insert(key, value);
                }
                None => self.spoil(),
            }
        }
        out
    }

    /// What the procedure expects of a sheet.
    pub(super) fn sheet_needs(&mut self, root: &Fields<'_>) -> BTreeMap<SheetKey, SheetNeed> {
        let section = Section {
            field: "sheet",
            form: &form::SHEET_NEED,
            about: Subject::SheetNeed,
        };
        self.section(root, &section, |r, _, fields| {
            if r.only_one(fields, &["kind", "words"])? == "words" {
                return r.sheet_words(fields.get("words")?).map(SheetNeed::Word);
            }
            let mut words: Vec<_> = Kind::ALL.into_iter().map(|k| (k.key(), Some(k))).collect();
            words.push(("text", None));
            let kind = r.word(fields.get("kind")?, &words)?;
            Some(kind.map_or(SheetNeed::Text, SheetNeed::Quantity))
        })
    }

    fn sheet_words(&mut self, node: &Node) -> Option<Vec<String>> {
        let items = self.items(node)?;
        let mut words: Vec<String> = Vec::new();
        for item in items {
            let word = self.string(item)?;
            if !is_plain_id(word) {
                let sentence = format!("{word:?} can't be a word of a sheet");
                let finding = at(super::code::BAD_NAME, item.span, sentence)
                    .help("use small letters, figures and single underscores: near_zero");
                self.push(finding);
            } else if words.iter().any(|w| w == word) {
                let sentence = format!("{word:?} stands twice in this list");
                self.push(at(DUPLICATE_NAME, item.span, sentence));
            } else {
                words.push(word.to_owned());
            }
        }
        if words.is_empty() {
            self.push(at(
                EMPTY,
                node.span,
                "a sheet value needs at least one word that it may be",
            ));
            return None;
        }
        Some(words)
    }

    /// Uses of instruments.
    pub(super) fn roles(&mut self, root: &Fields<'_>) -> BTreeMap<RoleId, Role> {
        let section = Section {
            field: "roles",
            form: &form::ROLE,
            about: Subject::Role,
        };
        self.section(root, &section, |r, _, fields| {
            let title = r.title(fields);
            let kind = r.need(fields, "kind").and_then(|n| r.kind(n))?;
            Some(Role { title, kind })
        })
    }

    /// Settings.
    pub(super) fn settings(&mut self, root: &Fields<'_>) -> BTreeMap<SettingId, Setting> {
        let section = Section {
            field: "settings",
            form: &form::SETTING,
            about: Subject::Setting,
        };
        self.section(root, &section, |r, _, fields| {
            Some(Setting {
                title: r.title(fields),
            })
        })
    }

    /// Duties.
    pub(super) fn duties(&mut self, root: &Fields<'_>) -> BTreeMap<DutyId, Duty> {
        let section = Section {
            field: "duties",
            form: &form::DUTY,
            about: Subject::Duty,
        };
        self.section(root, &section, |r, _, fields| {
            let title = r.title(fields);
            let hand_over = r.lines_in(fields, "hand_over");
            Some(Duty { title, hand_over })
        })
    }

    /// Readings.
    pub(super) fn readings(
        &mut self,
        root: &Fields<'_>,
        kinds: &Kinds,
        roles: &BTreeMap<RoleId, Role>,
    ) -> BTreeMap<ValueId, Reading> {
        let section = Section {
            field: "readings",
            form: &form::READING,
            about: Subject::Reading,
        };
        self.section(root, &section, |r, _, f| r.reading(f, kinds, roles))
    }

    fn reading(
        &mut self,
        f: &Fields<'_>,
        kinds: &Kinds,
        roles: &BTreeMap<RoleId, Role>,
    ) -> Option<Reading> {
        let title = self.title(f);
        let kind = self.need(f, "kind").and_then(|n| self.kind(n));
        let role: Option<RoleId> = self.named_in(f, "with");
        if let (Some(kind), Some(id)) = (kind, &role)
            && let Some(role) = roles.get(id)
            && role.kind != kind
            && let Some(node) = f.get("with")
        {
            let sentence = format!(
                "{id} measures {}; this reading is {}",
                role.kind.with_article(),
                kind.with_article()
            );
            self.push(
                at(KIND_MISMATCH, node.span, sentence)
                    .help("read it with another role, or change a kind"),
            );
        }
        let plausible = f.get("plausible").zip(kind).and_then(|(node, kind)| {
            let (low, high) = self.pair(node)?;
            let (low, high) = (self.side(low, kind, kinds), self.side(high, kind, kinds));
            Some((low?, high?))
        });
        let of: Option<SettingId> = self.named_in(f, "of");
        let when = f.get("when");
        let when_word = when
            .and_then(|n| self.word(n, &[("as_found", When::AsFound), ("as_left", When::AsLeft)]));
        self.belongs(f, "when", "of");
        self.belongs(f, "of", "when");
        Some(Reading {
            title,
            shown: self.shown(f, kind),
            kind: kind?,
            role,
            place: self.line_in(f, "place", TITLE),
            plausible,
            of,
            when: when_word,
            for_record: self.for_record(f),
            witness: self.flag(f, "witness"),
            zero_check: self.flag(f, "zero_check"),
            how: self.lines_in(f, "how"),
        })
    }

    /// A field that has no meaning without another.
    pub(super) fn belongs(&mut self, f: &Fields<'_>, name: &str, with: &str) {
        if let (Some(member), None) = (f.member(name), f.get(with)) {
            let sentence = format!("{name:?} stands without {with:?}");
            let finding = at(MISSING_FIELD, member.key_span, sentence)
                .help(format!("add {with:?}, or leave {name:?} out"));
            self.push(finding);
        }
    }

    /// `"for": "record"`.
    pub(super) fn for_record(&mut self, f: &Fields<'_>) -> bool {
        f.get("for")
            .and_then(|n| self.word(n, &[("record", true)]))
            .unwrap_or(false)
    }

    /// Conditions.
    pub(super) fn conditions(
        &mut self,
        root: &Fields<'_>,
        kinds: &Kinds,
    ) -> BTreeMap<ConditionId, Condition> {
        let section = Section {
            field: "conditions",
            form: &form::CONDITION,
            about: Subject::Condition,
        };
        self.section(root, &section, |r, id: &ConditionId, f| {
            let title = r.title(f);
            let lasts = f.get("lasts").map_or(Some(Lasts::Job), |n| r.lasts(n));
            let ask = r.ask(id, f, kinds);
            let by = r.names_in(f, "by");
            let series = f.get("series").and_then(|n| r.series(n));
            Some(Condition {
                title,
                lasts: lasts?,
                ask,
                by,
                series,
            })
        })
    }

    fn lasts(&mut self, node: &Node) -> Option<Lasts> {
        const WORDS: [(&str, Lasts); 3] = [
            ("job", Lasts::Job),
            ("resume", Lasts::Resume),
            ("step", Lasts::Step),
        ];
        if let Json::String(text) = &node.value
            && text.starts_with(|c: char| c.is_ascii_digit())
        {
            return self.any_time_ms(node).map(Lasts::For);
        }
        self.word(node, &WORDS)
    }

    fn ask(&mut self, id: &ConditionId, f: &Fields<'_>, kinds: &Kinds) -> Option<Ask> {
        self.belongs(f, "ask_reading", "ask");
        self.belongs(f, "ask_limits", "ask_reading");
        let question = self.line_in(f, "ask", LINE);
        let reading = self.named_in(f, "ask_reading");
        let limits = self.limits(f, "ask_limits", kinds, |index| Subject::AskLimit {
            condition: id.to_string(),
            index,
        });
        Some(Ask {
            question: question?,
            reading,
            limits,
        })
    }

    fn series(&mut self, node: &Node) -> Option<Series> {
        let f = self.object(node, &form::SERIES)?;
        let readings = self.need(&f, "readings").map(|n| (n, self.names(n)));
        if let Some((node, readings)) = &readings
            && readings.is_empty()
            && !self.declared.misspelt.contains(&Sort::Value)
        {
            self.push(at(EMPTY, node.span, "a series needs at least one reading"));
        }
        let every = self.need(&f, "every").and_then(|n| self.any_time_ms(n));
        let points = self.need(&f, "points").and_then(|n| self.count(n, 2, 1000));
        let late = f.get("late_after").and_then(|n| self.any_time_ms(n));
        Some(Series {
            readings: readings?.1,
            every_ms: every?,
            points: points?,
            late_after_ms: late.unwrap_or(LATE_AFTER_MS),
        })
    }

    /// Groups of which one at most holds.
    pub(super) fn exclusive(&mut self, root: &Fields<'_>) -> Vec<BTreeSet<ConditionId>> {
        let items = root
            .get("exclusive")
            .map(|n| self.items(n).unwrap_or_default());
        let mut groups = Vec::new();
        for (index, item) in items.unwrap_or_default().iter().enumerate() {
            self.about(Subject::Group(index), super::reader::head(item), None);
            groups.push(self.names(item).into_iter().collect());
        }
        groups
    }

    /// Hazards.
    pub(super) fn hazards(&mut self, root: &Fields<'_>) -> BTreeMap<HazardId, Hazard> {
        const SIGNALS: [(&str, Signal); 4] = [
            ("danger", Signal::Danger),
            ("warning", Signal::Warning),
            ("caution", Signal::Caution),
            ("notice", Signal::Notice),
        ];
        let section = Section {
            field: "hazards",
            form: &form::HAZARD,
            about: Subject::Hazard,
        };
        self.section(root, &section, |r, _, f| {
            let signal = r.need(f, "signal").and_then(|n| r.word(n, &SIGNALS));
            let title = r.title(f);
            let consequence = r.need(f, "consequence").and_then(|n| r.line(n, LINE));
            let avoid = r.need(f, "avoid").map(|n| r.lines(n, LINE));
            let needs = r.names_in(f, "needs");
            Some(Hazard {
                signal: signal?,
                title,
                consequence: consequence?,
                avoid: avoid?,
                needs,
            })
        })
    }

    /// Acts.
    pub(super) fn acts(&mut self, root: &Fields<'_>) -> BTreeMap<ActId, Act> {
        let section = Section {
            field: "acts",
            form: &form::ACT,
            about: Subject::Act,
        };
        self.section(root, &section, |r, _, f| {
            Some(Act {
                title: r.title(f),
                moves: r.flag(f, "moves"),
                hazards: r.names_in(f, "hazards"),
                needs: r.names_in(f, "needs"),
                clears: r.names_in(f, "clears"),
                changes: r.names_in(f, "changes"),
            })
        })
    }

    /// Fields of which none may stand in an object.
    pub(super) fn none_of(&mut self, f: &Fields<'_>, names: &[&str], why: &str) {
        for member in names.iter().filter_map(|n| f.member(n)) {
            let sentence = format!("{:?} can't stand here: {why}", member.key);
            self.push(
                at(CLASHING_FIELDS, member.key_span, sentence)
                    .help("remove it, or make it another step"),
            );
        }
    }
}

/// Whether a member called "note" is a note and not a thing of that name.
fn note(member: &Member) -> bool {
    match &member.node.value {
        Json::String(_) | Json::List(_) => true,
        Json::Null | Json::Bool(_) | Json::Number(_) | Json::Object(_) => false,
    }
}
