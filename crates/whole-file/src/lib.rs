//! Files that are there entirely or not at all, whatever happens while they are
//! written: a full disk, a kill, a power cut.
//!
//! A file is written under a name nobody else has, in the folder where it will stand,
//! synced, and then given its name. What is assumed of the file system is what POSIX
//! says of `rename` and what `fsync` of file and folder promise.
//!
//! ```
//! # let folder = tempfile::tempdir()?;
//! whole_file::put(folder.path(), "sheet.txt", b"tight and dry")?;
//! whole_file::put(folder.path(), "sheet.txt", b"tight")?;
//! assert_eq!(std::fs::read(folder.path().join("sheet.txt"))?, b"tight");
//!
//! let unplaced = whole_file::write_beside(folder.path(), b"leaks")?;
//! // one of that name is left alone
//! assert!(unplaced.place_new(&folder.path().join("sheet.txt")).is_err());
//! assert_eq!(std::fs::read_dir(folder.path())?.count(), 1);
//! # Ok::<(), std::io::Error>(())
//! ```
//!
//! # What this crate never does
//! It appends to no file, reads none, and knows no format.

mod beside;
mod by_path;

pub use beside::{Unplaced, put, sync_folder, write_beside, write_beside_with};
pub use by_path::{Put, folder_of, make_private_folder, try_folder, write};
