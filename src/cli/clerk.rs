//! The clerk: carries out what the screen asks of the disk, one thing at a time,
//! in a thread of its own. Only here are jobs written.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender};

use super::author::Loader;
use super::desk::{Desk, DeskError, Site};
use super::library::{Library, load};
use super::shipped::Shelf;
use crate::app::{Effect, JobRow, NewDrill, NewJob, OpenedJob, Reply, Settings};
use crate::document;
use crate::drill::{Debrief, Drill, Ground, Kept, Script, kept, play_to, read_kept};
use crate::io::prefs;
use crate::job::{Command, Mode, Person, Setup};
use crate::journal::{Failure, JobId, replace};
use crate::procedure::{InstrumentId, RoleId, StepId};
use crate::quantity::Day;
use crate::record;

/// What the clerk is asked.
#[derive(Debug)]
pub(crate) enum Errand {
    /// An effect of the screen.
    Effect(Effect),
    /// Keep these settings.
    Keep(Settings),
}

/// The clerk's own things.
pub(crate) struct Clerk {
    /// The world around jobs.
    pub(crate) site: Site,
    /// Documents.
    pub(crate) library: Library,
    /// What reads for the author's bench.
    pub(crate) loader: Loader,
    /// The job at work.
    pub(crate) desk: Option<Desk>,
    /// Who signs when a job is opened again.
    pub(crate) person: Option<String>,
}

impl Clerk {
    /// Works until nobody asks any more.
    pub(crate) fn work<M: From<Reply>>(mut self, errands: &Receiver<Errand>, to: &Sender<M>) {
        while let Ok(errand) = errands.recv() {
            let reply = match errand {
                Errand::Keep(settings) => {
                    self.person = settings.people.first().cloned();
                    // Settings are a comfort; a disk that refuses them stops no job.
                    let _refused = prefs::write(
                        self.site.disk(),
                        self.site.place(),
                        &super::full::kept(&settings),
                    );
                    None
                }
                Errand::Effect(effect) => self.carry_out(effect),
            };
            let kept = matches!(
                reply,
                Some(Reply::Durable | Reply::Opened(_) | Reply::Drilled(..))
            );
            let trouble = self.sheet_trouble().filter(|_| kept);
            for reply in reply.into_iter().chain(trouble) {
                if to.send(M::from(reply)).is_err() {
                    return;
                }
            }
        }
    }

    /// A status sheet that could not be written is told, though the record is safe.
    fn sheet_trouble(&self) -> Option<Reply> {
        let failure = self.desk.as_ref()?.sheet_trouble()?;
        Some(Reply::Told(format!(
            "The entry is safe, but the status sheet could not be written: {failure}"
        )))
    }

    fn carry_out(&mut self, effect: Effect) -> Option<Reply> {
        match effect {
            Effect::ListJobs => Some(Reply::Jobs(self.list())),
            Effect::ReadScope(id) => Some(self.scope(&id)),
            Effect::Create(job) => Some(self.create(&job)),
            Effect::ListDrills => Some(self.drills()),
            Effect::Drill(drill) => Some(self.drill(&drill)),
            Effect::KeepDebrief { debrief, page } => self.keep_debrief(&debrief, &page),
            Effect::Open(id) => Some(self.open(&id)),
            Effect::Show(id) => Some(self.show(&id)),
            Effect::Look(look) => Some(self.loader.look(*look)),
            Effect::LookAgain(look) => Some(self.loader.again(*look)),
            Effect::Append {
                command,
                events,
                at,
            } => {
                let desk = self.desk.as_mut()?;
                Some(match desk.keep(&command, events, at) {
                    Ok(()) => Reply::Durable,
                    Err(error) => Reply::StorageFailed(error.to_string()),
                })
            }
            Effect::Close => {
                self.desk = None;
                None
            }
            Effect::Copy(path) => {
                let desk = self.desk.as_ref()?;
                Some(Reply::Copied(match desk.copy_to(Path::new(&path)) {
                    Ok(()) => Ok(path),
                    Err(error) => Err(error.to_string()),
                }))
            }
            Effect::KeepSettings
            | Effect::KeyReleases(_)
            | Effect::Bell
            | Effect::Suspend
            | Effect::Quit => None,
        }
    }

    fn scope(&self, id: &str) -> Reply {
        let found = self.library.find(Shelf::Procedure, id);
        let lines = found
            .and_then(|f| document::procedure(&f.name, &f.bytes).value)
            .map_or_else(
                || vec!["This procedure has errors; levelhand check says which.".to_owned()],
                |p| p.scope,
            );
        Reply::Scope {
            procedure: id.to_owned(),
            lines,
        }
    }

    fn create(&mut self, job: &NewJob) -> Reply {
        match self.created(job) {
            Ok(desk) => self.opened(desk, Vec::new()),
            Err(why) => Reply::NotOpened(why),
        }
    }

    fn created(&self, job: &NewJob) -> Result<Desk, String> {
        let papers = self
            .library
            .papers(&job.procedure, &job.sheet, &job.instruments)?;
        let mode = self.library.mode();
        if mode == Mode::Job {
            Library::refuse_unreleased(&papers)?;
        }
        // New work needs documents without errors; a job that was begun is opened
        // with the documents it pinned, whatever this program thinks of them now.
        let setup = load(&papers, mode)?;
        let person = |name: &str| Person::new(name).map_err(|e| e.to_string());
        let with: Result<Vec<Person>, String> = job.with.iter().map(|n| person(n)).collect();
        let open = Command::Open {
            by: person(&job.by)?,
            with: with?,
            why: job.why.clone(),
            roles: roles(&setup),
            system: job.system.unwrap_or(setup.sheet.system),
            earlier: job.earlier.clone(),
        };
        Desk::create(self.site.clone(), mode, &papers, &open).map_err(|e| e.to_string())
    }

    fn drills(&self) -> Reply {
        let rows = super::drills::rows(&self.library);
        Reply::Drills(rows.sound, self.kept(None), rows.broken)
    }

    /// Debriefs that are on disk, the last one first, of one person or of all.
    fn kept(&self, by: Option<&str>) -> Vec<Kept> {
        let (place, disk) = (self.site.place(), self.site.disk());
        let Ok(mut ids) = place.drill_ids(disk) else {
            return Vec::new();
        };
        ids.sort_by(|a, b| b.as_str().cmp(a.as_str()));
        let kept = ids.iter().filter_map(|id| {
            let path = place.drill(id).path().join(DEBRIEF);
            let text = String::from_utf8(disk.read(&path).ok()?).ok()?;
            read_kept(&text)
        });
        kept.filter(|k| by.is_none_or(|by| k.by == by)).collect()
    }

    fn drill(&mut self, drill: &NewDrill) -> Reply {
        match self.drilled(drill) {
            Ok(reply) => reply,
            Err(why) => Reply::NotOpened(why),
        }
    }

    fn drilled(&mut self, new: &NewDrill) -> Result<Reply, String> {
        let ground = super::drills::ground(&self.library, new)?;
        let plan = Arc::clone(&ground.plan);
        let papers = self
            .library
            .papers(&plan.procedure, &plan.sheet, &plan.instruments)?;
        let setup = load(&papers, Mode::Practice)?;
        let why = format!("drill {}, seed {}", plan.id, new.seed);
        let open = Command::Open {
            by: Person::new(&new.by).map_err(|e| e.to_string())?,
            with: Vec::new(),
            why: why.clone(),
            roles: roles(&setup),
            system: setup.sheet.system,
            earlier: None,
        };
        // What can't be begun is found before anything is made.
        let begin = match &plan.begin {
            Some((at, script)) => {
                let until = StepId::new(at).map_err(|_bad| format!("{at} is no step."))?;
                let graph = Some(&*setup.procedure);
                let script = super::drills::script_with_base(&self.library, script, graph)?;
                Some((until, script))
            }
            None => None,
        };
        let mut desk = Desk::create(self.site.clone(), Mode::Practice, &papers, &open)
            .map_err(|e| e.to_string())?;
        self.mark_drill(&desk, &why)?;
        let drill = match begin {
            Some((until, (own, base))) => {
                let script = Script {
                    own: &own,
                    base: base.as_ref(),
                };
                begun(&mut desk, ground, script, &until)?
            }
            None => Drill::new(ground),
        };
        let before = self.kept(Some(&new.by));
        let job = self.taken(desk, Vec::new());
        Ok(Reply::Drilled(Box::new(job), Box::new(drill), before))
    }

    /// Until there is a debrief its page says that there is none: a drill that is cut
    /// off has lost its truck and can't be gone on with.
    fn mark_drill(&self, desk: &Desk, why: &str) -> Result<(), String> {
        let text = format!(
            "PRACTICE. {why}: cut off before its debrief. Its truck is gone with it; begin the drill again.\n"
        );
        let folder = self.site.place().drill(desk.job());
        let page = folder.path().join(DEBRIEF_PAGE);
        replace(self.site.disk(), &page, text.as_bytes()).map_err(|e| e.to_string())
    }

    /// Data and page of a debrief go beside the journal of their practice job.
    fn keep_debrief(&self, debrief: &Debrief, page: &[String]) -> Option<Reply> {
        let desk = self.desk.as_ref()?;
        let now = self.site.now();
        let day = Day::of_instant(now.wall_ms, now.offset_min).to_string();
        let folder = self.site.place().drill(desk.job());
        let data = kept(debrief, &day, desk.job().as_str());
        let mut text = page.join("\n");
        text.push('\n');
        let disk = self.site.disk();
        let kept = replace(disk, &folder.path().join(DEBRIEF), data.as_bytes())
            .and_then(|()| replace(disk, &folder.path().join(DEBRIEF_PAGE), text.as_bytes()));
        let failure = kept.err()?;
        Some(Reply::Told(format!(
            "The debrief could not be kept: {failure}"
        )))
    }

    fn open(&mut self, id: &str) -> Reply {
        let job = match JobId::parse(id) {
            Ok(job) => job,
            Err(error) => return Reply::NotOpened(error.to_string()),
        };
        let by = match self.signer(&job) {
            Ok(by) => by,
            Err(error) => return Reply::NotOpened(error.to_string()),
        };
        match Desk::open(self.site.clone(), &job, &by) {
            Ok(desk) => {
                let notices = notices(&desk, &by);
                self.opened(desk, notices)
            }
            Err(error) => Reply::NotOpened(error.to_string()),
        }
    }

    /// The last name used on this computer, or else the job's own last.
    fn signer(&self, job: &JobId) -> Result<Person, DeskError> {
        if let Some(person) = self.person.as_deref().and_then(|p| Person::new(p).ok()) {
            return Ok(person);
        }
        let desk = Desk::read(self.site.clone(), job)?;
        let by = desk.state().by.clone();
        by.ok_or(DeskError::Failed(Failure::Unwritable {
            what: "nobody has signed this job",
        }))
    }

    fn opened(&mut self, desk: Desk, notices: Vec<String>) -> Reply {
        Reply::Opened(Box::new(self.taken(desk, notices)))
    }

    fn taken(&mut self, desk: Desk, notices: Vec<String>) -> OpenedJob {
        let job = OpenedJob {
            id: desk.job().to_string(),
            setup: Arc::new(desk.setup().clone()),
            state: desk.state().clone(),
            session: desk.session(),
            notices,
            read_only: desk.read_only().map(ToString::to_string),
        };
        self.desk = Some(desk);
        job
    }

    fn show(&self, id: &str) -> Reply {
        let page = JobId::parse(id)
            .ok()
            .and_then(|job| self.debrief_page(&job));
        if let Some(page) = page {
            return Reply::Page {
                title: "DEBRIEF · PRACTICE".to_owned(),
                lines: page.lines().map(str::to_owned).collect(),
            };
        }
        let shown = JobId::parse(id)
            .map_err(DeskError::from)
            .and_then(|job| Desk::read_all(self.site.clone(), &job));
        match shown {
            Ok((desk, told)) => Reply::Page {
                title: format!("RECORD OF {id}"),
                lines: record::page(&desk.account(&told))
                    .lines()
                    .map(str::to_owned)
                    .collect(),
            },
            Err(error) => Reply::NotOpened(error.to_string()),
        }
    }

    fn list(&self) -> Vec<JobRow> {
        let mut rows = Vec::new();
        for (ids, practice) in [
            (self.site.place().job_ids(self.site.disk()), false),
            (self.site.place().drill_ids(self.site.disk()), true),
        ] {
            let Ok(mut ids) = ids else { continue };
            ids.sort_by(|a, b| b.as_str().cmp(a.as_str()));
            rows.extend(ids.iter().map(|id| self.row(id, practice)));
        }
        rows
    }

    /// The debrief of a drill as a page; a drill has one from its beginning.
    fn debrief_page(&self, id: &JobId) -> Option<String> {
        let path = self.site.place().drill(id).path().join(DEBRIEF_PAGE);
        String::from_utf8(self.site.disk().read(&path).ok()?).ok()
    }

    fn row(&self, id: &JobId, practice: bool) -> JobRow {
        let mut row = JobRow {
            id: id.to_string(),
            title: String::new(),
            place: String::new(),
            ended: false,
            practice,
            trouble: None,
        };
        match super::summary::of(&self.site, id) {
            Ok(summary) => {
                row.title = summary.title;
                row.place = summary.place;
                row.ended = summary.ended;
                // A drill has lost its truck once it is left, and is not gone on with.
                if practice && !row.ended && self.debrief_page(id).is_some() {
                    row.ended = true;
                    row.place = format!("left at: {}", row.place);
                }
            }
            Err(why) => row.trouble = Some(why),
        }
        row
    }
}

/// The debrief of a drill as data, and as a page.
const DEBRIEF: &str = "debrief.json";
const DEBRIEF_PAGE: &str = "debrief.txt";

/// The first instrument for each role.
fn roles(setup: &Setup) -> BTreeMap<RoleId, InstrumentId> {
    let roles = setup.procedure.roles.keys();
    roles
        .filter_map(|r| Some((r.clone(), setup.instruments.for_role(r)?.id.clone())))
        .collect()
}

/// The lead hand's part of a drill, put on disk entry by entry.
fn begun(
    desk: &mut Desk,
    ground: Ground,
    script: Script<'_>,
    until: &StepId,
) -> Result<Drill, String> {
    let from = (desk.state(), desk.at());
    let (drill, played) = play_to(desk.setup(), ground, script, from, until)
        .map_err(|d| format!("The lead hand's part of this drill did not go as written: {d}."))?;
    for (at, command, events) in played.entries {
        desk.keep(&command, events, at).map_err(|e| e.to_string())?;
    }
    Ok(drill)
}

/// What opening a job again found.
fn notices(desk: &Desk, by: &Person) -> Vec<String> {
    let mut notices = vec![format!(
        "Opened again as {by} (? then p: someone else). What may have changed is asked again."
    )];
    for removed in &desk.news().removed {
        notices.push(format!(
            "The last entry was cut short: {} bytes were kept aside in {}. Everything before them is whole.",
            removed.len,
            removed.file
        ));
    }
    if desk.news().nearly_full {
        notices.push("The disk is nearly full; make room before going on.".to_owned());
    }
    notices
}
