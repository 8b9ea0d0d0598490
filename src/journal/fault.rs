//! A disk in memory that loses, tears and refuses, for tests.
//!
//! It is harsher than any real one. At a power cut each unsynced name, each
//! unsynced length and each unsynced stretch of bytes survives or not on its
//! own; what did not survive may be old bytes, zeros or noise. After a failed
//! sync of a file, later syncs of it report success and do nothing.

use std::any::Any;
use std::collections::{BTreeMap, BTreeSet};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};

use super::{Sink, Storage};

/// What goes wrong at a call.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Upset {
    /// An error of the device.
    Device,
    /// No space. A write leaves nothing.
    Full,
    /// No space. A write leaves half of its bytes.
    Half,
    /// The machine stops: the call is done but not safe, and nothing works
    /// until [`Memory::power_cut`] or [`Memory::kill`].
    Off,
}

/// A seeded stream of numbers: `SplitMix64` (from memory; only its spread
/// matters here).
#[derive(Debug, Clone)]
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut bits = self.0;
        bits = (bits ^ (bits >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        bits = (bits ^ (bits >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        bits ^ (bits >> 31)
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.roll() % end.max(1)
    }

    fn coin(&mut self) -> bool {
        self.roll() & 1 == 1
    }
}

#[derive(Debug, Clone, Default)]
struct Inode {
    live: Vec<u8>,
    safe: Vec<u8>,
    deaf: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Node {
    Dir,
    File(usize),
}

#[derive(Debug, Clone, Default)]
struct Machine {
    inodes: Vec<Inode>,
    live: BTreeMap<PathBuf, Node>,
    safe: BTreeMap<PathBuf, Node>,
    locks: BTreeSet<PathBuf>,
    boot: u64,
    calls: u64,
    plan: Option<(u64, Upset)>,
    upset: Option<(Upset, &'static str)>,
    off: bool,
}

/// The disk. Clones share it; [`Memory::copy`] does not.
#[derive(Debug, Clone, Default)]
pub(crate) struct Memory(Arc<Mutex<Machine>>);

impl Memory {
    /// A disk with an empty root.
    pub(crate) fn new() -> Self {
        let memory = Self::default();
        let mut machine = memory.machine();
        machine.live.insert(PathBuf::from("/"), Node::Dir);
        machine.safe.insert(PathBuf::from("/"), Node::Dir);
        drop(machine);
        memory
    }

    /// Another disk with the same state and no locks.
    pub(crate) fn copy(&self) -> Self {
        let machine = Machine {
            locks: BTreeSet::new(),
            plan: None,
            upset: None,
            ..self.machine().clone()
        };
        Self(Arc::new(Mutex::new(machine)))
    }

    /// Calls so far.
    pub(crate) fn calls(&self) -> u64 {
        self.machine().calls
    }

    /// Lets `upset` happen `after` more calls.
    pub(crate) fn upset_after(&self, after: u64, upset: Upset) {
        let mut machine = self.machine();
        machine.plan = Some((machine.calls + after, upset));
        machine.upset = None;
    }

    /// What happened of that, and at which call.
    pub(crate) fn upset(&self) -> Option<(Upset, &'static str)> {
        self.machine().upset
    }

    /// Puts a file in place, safe.
    pub(crate) fn put(&self, path: &Path, bytes: &[u8]) {
        let mut machine = self.machine();
        for dir in path.ancestors().skip(1) {
            machine.live.insert(dir.to_owned(), Node::Dir);
            machine.safe.insert(dir.to_owned(), Node::Dir);
        }
        let ino = machine.inodes.len();
        machine.inodes.push(Inode {
            live: bytes.to_vec(),
            safe: bytes.to_vec(),
            deaf: false,
        });
        machine.live.insert(path.to_owned(), Node::File(ino));
        machine.safe.insert(path.to_owned(), Node::File(ino));
    }

    /// A file's bytes as a program reads them; not counted as a call.
    pub(crate) fn peek(&self, path: &Path) -> Option<Vec<u8>> {
        let machine = self.machine();
        match machine.live.get(path)? {
            Node::File(ino) => Some(machine.inodes[*ino].live.clone()),
            Node::Dir => None,
        }
    }

    /// The program dies; the machine goes on with all that was written.
    pub(crate) fn kill(&self) {
        let mut machine = self.machine();
        machine.off = false;
        machine.plan = None;
        machine.boot += 1;
        machine.locks.clear();
    }

    /// The power goes: of what was not synced, `dice` decides.
    pub(crate) fn power_cut(&self, dice: &mut Dice) {
        self.kill();
        let mut machine = self.machine();
        let Machine {
            inodes, live, safe, ..
        } = &mut *machine;
        for inode in inodes.iter_mut() {
            let left = survives(inode, dice);
            *inode = Inode {
                live: left.clone(),
                safe: left,
                deaf: false,
            };
        }
        let names: BTreeSet<PathBuf> = live.keys().chain(safe.keys()).cloned().collect();
        let mut left = BTreeMap::new();
        for name in names {
            let chosen = if dice.coin() {
                live.get(&name)
            } else {
                safe.get(&name)
            };
            let parent = name
                .parent()
                .is_none_or(|dir| left.get(dir) == Some(&Node::Dir));
            if let (Some(node), true) = (chosen, parent) {
                left.insert(name, *node);
            }
        }
        live.clone_from(&left);
        *safe = left;
    }

    fn machine(&self) -> MutexGuard<'_, Machine> {
        self.0.lock().unwrap()
    }

    /// Counts a call, and does `act` unless this call is to fail. `half` is
    /// what a call does that fails half way.
    fn call<T>(
        &self,
        name: &'static str,
        act: impl FnOnce(&mut Machine) -> io::Result<T>,
        half: impl FnOnce(&mut Machine, Upset),
    ) -> io::Result<T> {
        let mut machine = self.machine();
        if machine.off {
            return Err(io::Error::other("the machine is off"));
        }
        let at = machine.calls;
        machine.calls += 1;
        let Some((_, upset)) = machine.plan.filter(|(planned, _)| *planned == at) else {
            return act(&mut machine);
        };
        machine.upset = Some((upset, name));
        half(&mut machine, upset);
        match upset {
            Upset::Device => Err(io::Error::other("device error")),
            Upset::Full | Upset::Half => Err(ErrorKind::StorageFull.into()),
            Upset::Off => {
                machine.off = true;
                Err(io::Error::other("the machine went off"))
            }
        }
    }

    /// A call that either happens or does not; when the machine goes off at
    /// it, it happens and is not safe.
    fn change<T>(
        &self,
        name: &'static str,
        act: impl Fn(&mut Machine) -> io::Result<T>,
    ) -> io::Result<T> {
        self.call(name, &act, |machine, upset| {
            if upset == Upset::Off {
                let _done = act(machine);
            }
        })
    }

    fn sink(&self, name: &'static str, path: &Path, how: How) -> io::Result<Box<dyn Sink>> {
        let ino = self.change(name, |machine| machine.open(path, how))?;
        Ok(Box::new(Handle {
            disk: self.clone(),
            ino,
        }))
    }
}

/// One inode's bytes after a power cut.
fn survives(inode: &Inode, dice: &mut Dice) -> Vec<u8> {
    let Inode { live, safe, .. } = inode;
    if live == safe {
        return safe.clone();
    }
    let (short, long) = (live.len().min(safe.len()), live.len().max(safe.len()));
    let len = match dice.below(3) {
        0 => safe.len(),
        1 => live.len(),
        _ => short + dice.below((long - short) as u64 + 1) as usize,
    };
    let step = if len > 64 * 1024 {
        4096
    } else {
        [1, 3, 16, 512, 4096][dice.below(5) as usize]
    };
    let mut left = Vec::with_capacity(len);
    while left.len() < len {
        let run = left.len()..len.min(left.len() + step);
        let source = dice.below(4);
        left.extend(run.map(|at| match (live.get(at), safe.get(at)) {
            (Some(new), Some(old)) if new == old => *new,
            (Some(new), Some(old)) => *[new, old][(source & 1) as usize],
            (Some(new), None) => [*new, *new, 0, dice.roll() as u8][source as usize],
            (None, Some(old)) => *old,
            (None, None) => 0,
        }));
    }
    left
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum How {
    New,
    Old,
}

impl Machine {
    fn open(&mut self, path: &Path, how: How) -> io::Result<usize> {
        let found = self.live.get(path).copied();
        match (found, how) {
            (Some(Node::Dir), _) => Err(ErrorKind::IsADirectory.into()),
            (Some(Node::File(_)), How::New) => Err(ErrorKind::AlreadyExists.into()),
            (Some(Node::File(ino)), How::Old) => Ok(ino),
            (None, How::Old) => Err(ErrorKind::NotFound.into()),
            (None, How::New) => {
                self.need_parent(path)?;
                let ino = self.inodes.len();
                self.inodes.push(Inode::default());
                self.live.insert(path.to_owned(), Node::File(ino));
                Ok(ino)
            }
        }
    }

    fn need_parent(&self, path: &Path) -> io::Result<()> {
        let found = path.parent().and_then(|dir| self.live.get(dir));
        if found == Some(&Node::Dir) {
            Ok(())
        } else {
            Err(ErrorKind::NotFound.into())
        }
    }

    fn file(&self, path: &Path) -> io::Result<usize> {
        match self.live.get(path) {
            Some(Node::File(ino)) => Ok(*ino),
            Some(Node::Dir) | None => Err(ErrorKind::NotFound.into()),
        }
    }

    fn list(&self, dir: &Path) -> io::Result<Vec<String>> {
        if self.live.get(dir) != Some(&Node::Dir) {
            return Err(ErrorKind::NotFound.into());
        }
        let here = self.live.keys().filter(|path| path.parent() == Some(dir));
        Ok(here
            .filter_map(|path| path.file_name()?.to_str().map(str::to_owned))
            .collect())
    }

    fn sync_dir(&mut self, dir: &Path) {
        let inside = |path: &PathBuf| path.parent() == Some(dir);
        self.safe.retain(|path, _| !inside(path));
        let now: Vec<_> = self
            .live
            .iter()
            .filter(|(path, _)| inside(path))
            .map(|(p, n)| (p.clone(), *n))
            .collect();
        self.safe.extend(now);
    }

    fn sync(&mut self, ino: usize) {
        let inode = &mut self.inodes[ino];
        if !inode.deaf {
            inode.safe = inode.live.clone();
        }
    }
}

impl Storage for Memory {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        self.change("read", |machine| {
            machine
                .file(path)
                .map(|ino| machine.inodes[ino].live.clone())
        })
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn io::Read>> {
        Ok(Box::new(io::Cursor::new(self.read(path)?)))
    }

    fn list(&self, dir: &Path) -> io::Result<Vec<String>> {
        self.change("list", |machine| machine.list(dir))
    }

    fn make_dir(&self, dir: &Path) -> io::Result<()> {
        self.change("make_dir", |machine| {
            machine.need_parent(dir)?;
            if machine.live.contains_key(dir) {
                return Err(ErrorKind::AlreadyExists.into());
            }
            machine.live.insert(dir.to_owned(), Node::Dir);
            Ok(())
        })
    }

    fn exists(&self, path: &Path) -> io::Result<bool> {
        self.change("exists", |machine| Ok(machine.live.contains_key(path)))
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        self.sink("create_new", path, How::New)
    }

    fn append(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        self.sink("append", path, How::Old)
    }

    fn amend(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        self.sink("amend", path, How::Old)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.change("rename", |machine| {
            let ino = machine.file(from)?;
            machine.live.remove(from);
            machine.live.insert(to.to_owned(), Node::File(ino));
            Ok(())
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.change("remove", |machine| {
            machine.file(path)?;
            machine.live.remove(path);
            Ok(())
        })
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        let sync = |machine: &mut Machine| {
            machine.sync_dir(dir);
            Ok(())
        };
        self.call("sync_dir", sync, |_, _| ())
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn Any + Send>>> {
        let locked = self.change("lock", |machine| {
            machine.need_parent(path)?;
            if !machine.live.contains_key(path) {
                machine.open(path, How::New)?;
            }
            Ok(machine
                .locks
                .insert(path.to_owned())
                .then_some(machine.boot))
        })?;
        Ok(locked.map(|boot| {
            Box::new(Held {
                disk: self.clone(),
                path: path.to_owned(),
                boot,
            }) as Box<dyn Any + Send>
        }))
    }
}

/// A lock; one from before a crash frees nothing any more.
struct Held {
    disk: Memory,
    path: PathBuf,
    boot: u64,
}

impl Drop for Held {
    fn drop(&mut self) {
        let mut machine = self.disk.machine();
        if machine.boot == self.boot {
            machine.locks.remove(&self.path);
        }
    }
}

#[derive(Debug)]
struct Handle {
    disk: Memory,
    ino: usize,
}

impl Handle {
    fn sync(&self, name: &'static str) -> io::Result<()> {
        let ino = self.ino;
        let sync = |machine: &mut Machine| {
            machine.sync(ino);
            Ok(())
        };
        self.disk.call(name, sync, |machine, upset| {
            machine.inodes[ino].deaf |= upset != Upset::Off;
        })
    }
}

impl Sink for Handle {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        let ino = self.ino;
        let write = |machine: &mut Machine| {
            machine.inodes[ino].live.extend_from_slice(bytes);
            Ok(())
        };
        self.disk.call("write_all", write, |machine, upset| {
            let part = match upset {
                Upset::Device | Upset::Full => 0,
                Upset::Half => bytes.len() / 2,
                Upset::Off => bytes.len(),
            };
            machine.inodes[ino].live.extend_from_slice(&bytes[..part]);
        })
    }

    fn sync_data(&mut self) -> io::Result<()> {
        self.sync("sync_data")
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.sync("sync_all")
    }

    fn cut(&mut self, len: u64) -> io::Result<()> {
        let ino = self.ino;
        self.disk.change("cut", |machine| {
            machine.inodes[ino].live.truncate(len as usize);
            Ok(())
        })
    }
}
