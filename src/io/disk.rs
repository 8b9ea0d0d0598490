//! The real disk. On Unix directories are made for their owner alone (0700),
//! and so are files (0600).
#![expect(
    clippy::disallowed_methods,
    reason = "this is where files are read and written"
)]

use std::any::Any;
use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Write as _};
use std::path::Path;

use super::lock;
use crate::journal::{Sink, Storage};

/// The file system.
#[derive(Debug, Clone, Copy, Default)]
pub struct Disk;

impl Storage for Disk {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        fs::read(path)
    }

    fn open(&self, path: &Path) -> io::Result<Box<dyn io::Read>> {
        Ok(Box::new(File::open(path)?))
    }

    fn list(&self, dir: &Path) -> io::Result<Vec<String>> {
        let mut names = Vec::new();
        for entry in fs::read_dir(dir)? {
            names.extend(entry?.file_name().into_string().ok());
        }
        names.sort();
        Ok(names)
    }

    fn make_dir(&self, dir: &Path) -> io::Result<()> {
        private_dir().create(dir)
    }

    fn exists(&self, path: &Path) -> io::Result<bool> {
        path.try_exists()
    }

    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        sink(private().append(true).create_new(true), path)
    }

    fn append(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        sink(private().append(true), path)
    }

    fn amend(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        sink(private().write(true), path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn sync_dir(&self, dir: &Path) -> io::Result<()> {
        sync_dir(dir)
    }

    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn Any + Send>>> {
        lock::hold(
            private()
                .write(true)
                .create(true)
                .truncate(false)
                .open(path)?,
        )
    }
}

fn sink(options: &OpenOptions, path: &Path) -> io::Result<Box<dyn Sink>> {
    Ok(Box::new(Plain(options.open(path)?)))
}

/// A file; on macOS `sync_all` and `sync_data` are the full flush.
#[derive(Debug)]
struct Plain(File);

impl Sink for Plain {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn sync_data(&mut self) -> io::Result<()> {
        self.0.sync_data()
    }

    fn sync_all(&mut self) -> io::Result<()> {
        self.0.sync_all()
    }

    fn cut(&mut self, len: u64) -> io::Result<()> {
        self.0.set_len(len)
    }
}

#[cfg(unix)]
fn private() -> OpenOptions {
    use std::os::unix::fs::OpenOptionsExt as _;
    let mut options = OpenOptions::new();
    options.mode(0o600);
    options
}

#[cfg(not(unix))]
fn private() -> OpenOptions {
    OpenOptions::new()
}

#[cfg(unix)]
fn private_dir() -> DirBuilder {
    use std::os::unix::fs::DirBuilderExt as _;
    let mut builder = DirBuilder::new();
    builder.mode(0o700);
    builder
}

#[cfg(not(unix))]
fn private_dir() -> DirBuilder {
    DirBuilder::new()
}

#[cfg(unix)]
fn sync_dir(dir: &Path) -> io::Result<()> {
    File::open(dir)?.sync_all()
}

/// Windows refuses to flush a directory; its file system keeps names in a
/// journal of its own.
#[cfg(not(unix))]
fn sync_dir(_dir: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use serde_json::value::RawValue;

    use super::*;
    use crate::io::clock::Clock;
    use crate::io::seed;
    use crate::journal::{
        Beginning, Draft, Failure, FileName, Folder, Holder, copy_to, create, look, replace, resume,
    };

    fn holder(who: &str) -> Holder {
        Holder {
            pid: std::process::id(),
            who: who.to_owned(),
            since: "2026-11-24T08:15:02.120+01:00".into(),
            host: None,
        }
    }

    fn draft() -> Draft {
        let json = |text: &str| RawValue::from_string(text.to_owned()).unwrap();
        Draft {
            at: Clock::start().now(),
            session: seed::session().unwrap(),
            dir: seed::dir_id().unwrap(),
            by: "A. Nother".into(),
            command: json("{\"tick\":1}"),
            events: json("[]"),
        }
    }

    fn begin(parent: &Path) -> (Folder, crate::journal::Writer) {
        let documents = [(FileName::parse("sheet.json").unwrap(), b"{}".to_vec())];
        let beginning = Beginning {
            parent,
            holder: &holder("A. Nother"),
            documents: &documents,
        };
        let mut draw = || seed::job_id(Clock::start().now());
        let (id, writer) = create(&Disk, &beginning, &mut draw, &mut |_| draft()).unwrap();
        (Folder::new(parent, &id), writer)
    }

    #[test]
    fn keeps_a_job_from_one_program_to_the_next() {
        let dir = tempfile::tempdir().unwrap();
        let (folder, mut writer) = begin(&dir.path().join("shop/jobs"));
        writer.append(&draft()).unwrap();
        writer.write_sheet(&Disk, "first").unwrap();
        writer.write_sheet(&Disk, "second").unwrap();
        let head = writer.head();
        drop(writer);
        let torn = fs::OpenOptions::new()
            .append(true)
            .open(folder.journal())
            .unwrap()
            .write(b"{\"v\":1,")
            .unwrap();
        let mut entries = 0;
        let by = holder("A. Nother");
        let resumed = resume(&Disk, folder.clone(), &by, &mut |_| entries += 1).unwrap();
        assert_eq!(
            (resumed.writer.head(), entries, resumed.has_reserve),
            (head, 2, true)
        );
        assert_eq!(resumed.removed[0].len, torn as u64);
        assert_eq!(
            fs::read(folder.path().join(&resumed.removed[0].file)).unwrap(),
            b"{\"v\":1,"
        );
        assert_eq!(
            fs::read(folder.journal()).unwrap(),
            *resumed.writer.confirmed(&Disk).unwrap()
        );
        assert_eq!(fs::read(folder.status()).unwrap(), b"second");
        assert_eq!(
            fs::read(folder.document(&FileName::parse("sheet.json").unwrap())).unwrap(),
            b"{}"
        );
    }

    #[test]
    fn tells_a_second_writer_who_holds_the_job_and_lets_it_look() {
        let dir = tempfile::tempdir().unwrap();
        let (folder, writer) = begin(dir.path());
        let by = holder("B. Nother");
        let refused = resume(&Disk, folder.clone(), &by, &mut |_| {}).unwrap_err();
        assert!(
            matches!(&refused, Failure::Held { holder: Some(found), .. } if found.who == "A. Nother"),
            "{refused}"
        );
        assert_eq!(look(&Disk, &folder).unwrap().head, writer.head());
        drop(writer);
        resume(&Disk, folder, &by, &mut |_| {}).unwrap();
    }

    #[test]
    fn finds_no_job_where_none_is_and_makes_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let folder = Folder::new(dir.path(), &seed::job_id(Clock::start().now()).unwrap());
        assert!(matches!(
            resume(&Disk, folder.clone(), &holder("A"), &mut |_| {}),
            Err(Failure::NoJob { .. })
        ));
        assert!(matches!(look(&Disk, &folder), Err(Failure::NoJob { .. })));
        assert!(!folder.path().exists());
    }

    #[test]
    fn copies_to_a_new_place_and_replaces_whole() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("copy");
        copy_to(&Disk, &path, b"one").unwrap();
        assert!(matches!(
            copy_to(&Disk, &path, b"two"),
            Err(Failure::Taken { .. })
        ));
        assert_eq!(fs::read(&path).unwrap(), b"one");
        replace(&Disk, &path, b"three").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"three");
        assert_eq!(
            Disk.list(dir.path()).unwrap(),
            ["copy"],
            "nothing is left beside it"
        );
        let nowhere = copy_to(&Disk, &dir.path().join("none/copy"), b"").unwrap_err();
        assert!(
            matches!(
                nowhere,
                Failure::Storage {
                    doing: "create",
                    ..
                }
            ),
            "{nowhere}"
        );
    }

    #[cfg(unix)]
    #[test]
    fn keeps_everything_for_its_owner_alone() {
        use std::os::unix::fs::PermissionsExt as _;
        let dir = tempfile::tempdir().unwrap();
        let (folder, _writer) = begin(&dir.path().join("shop/jobs"));
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        for made in [
            dir.path().join("shop"),
            dir.path().join("shop/jobs"),
            folder.path().to_owned(),
            folder.documents(),
        ] {
            assert_eq!(mode(&made), 0o700, "{}", made.display());
        }
        for made in [
            folder.journal(),
            folder.reserve(),
            folder.lock(),
            folder.holder(),
        ] {
            assert_eq!(mode(&made), 0o600, "{}", made.display());
        }
    }
}
