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

    fn create(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        sink(private().write(true).create(true).truncate(true), path)
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
