//! One program a job: a lock that the system takes back when the program dies.

use std::any::Any;
use std::fs::{File, TryLockError};
use std::io;

/// Locks an open file for this program alone, until the value is dropped.
/// `None` if another holds it. The file's bytes are not used: on Windows a
/// locked file cannot be read by others.
pub(super) fn hold(file: File) -> io::Result<Option<Box<dyn Any + Send>>> {
    match file.try_lock() {
        Ok(()) => Ok(Some(Box::new(file))),
        Err(TryLockError::WouldBlock) => Ok(None),
        Err(TryLockError::Error(error)) => Err(error),
    }
}
