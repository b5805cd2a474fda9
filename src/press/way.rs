//! How made files get to where they stand, so that a press may be stopped at any of them.

use std::collections::{BTreeMap, BTreeSet};

use rayon::prelude::*;

use crate::pages::Rank;

use super::write::Folder;
use super::{Half, Job, PressError, Stopped, Tick, is_page};

/// Writes what is stale, and gives the lengths. `made` holds the bytes of pages that are made already.
///
/// # Errors
/// [`Stopped::Machine`] leaves whole files; a file that cannot be made does, too.
pub fn write(
    folder: &Folder,
    stale: &[&Job<'_>],
    made: &BTreeMap<String, Vec<u8>>,
    tick: &Tick<'_>,
) -> Result<BTreeMap<String, u64>, Stopped> {
    folder.clear_beside()?;
    let way = Way::into(folder, stale);
    way.ready(folder)?;
    let lengths = in_order(folder, &way, stale, made, tick).inspect_err(|_| {
        // Of no use to anybody, and it may be what filled the disk. What cannot be cleared now the next press clears.
        let _ = folder.clear_beside();
    })?;
    way.end(folder)?;
    Ok(lengths)
}

/// How files get to where they stand.
enum Way<'a> {
    /// Nothing was pressed here before: they are written beside, and each half takes its place in one piece.
    Beside,
    /// One by one, over what is there. A page may lead to another that is as new as itself: every new page's place is
    /// taken before the first is written. What is new and no page leads nowhere and comes before what leads to it.
    InPlace { new: BTreeSet<&'a str> },
}

impl<'a> Way<'a> {
    fn into(folder: &Folder, stale: &[&'a Job<'_>]) -> Self {
        if Half::BOTH
            .iter()
            .all(|half| !folder.is_there(half.folder()))
        {
            return Way::Beside;
        }
        let paths = stale.iter().map(|job| job.path.as_str());
        Way::InPlace {
            new: paths.filter(|path| !folder.is_there(path)).collect(),
        }
    }

    fn ready(&self, folder: &Folder) -> Result<(), PressError> {
        let Way::InPlace { new } = self else {
            return Ok(());
        };
        let pages: Vec<&str> = new.iter().copied().filter(|path| is_page(path)).collect();
        if !pages.is_empty() {
            folder.ready_to_hold()?;
        }
        pages.par_iter().try_for_each(|path| folder.hold(path))
    }

    fn rank(&self, job: &Job<'_>) -> Rank {
        match self {
            Way::InPlace { new } if !is_page(&job.path) && new.contains(job.path.as_str()) => {
                job.output.rank.min(Rank::Asset)
            }
            Way::InPlace { .. } | Way::Beside => job.output.rank,
        }
    }

    fn put(&self, folder: &Folder, path: &str, bytes: &[u8]) -> Result<(), PressError> {
        match self {
            Way::Beside => folder.put_beside(path, bytes),
            Way::InPlace { .. } => folder.put(path, bytes),
        }
    }

    fn end(&self, folder: &Folder) -> Result<(), PressError> {
        match self {
            Way::Beside => {
                (Half::BOTH.iter()).try_for_each(|half| folder.move_in(half.folder()))?;
                folder.clear_beside()
            }
            Way::InPlace { .. } => Ok(()),
        }
    }
}

fn in_order(
    folder: &Folder,
    way: &Way<'_>,
    stale: &[&Job<'_>],
    made: &BTreeMap<String, Vec<u8>>,
    tick: &Tick<'_>,
) -> Result<BTreeMap<String, u64>, Stopped> {
    let mut lengths = BTreeMap::new();
    for rank in [Rank::Picture, Rank::Asset, Rank::Leaf, Rank::List] {
        let of_rank: Vec<&&Job<'_>> = stale.iter().filter(|job| way.rank(job) == rank).collect();
        let written: Result<Vec<(String, u64)>, Stopped> = of_rank
            .par_iter()
            .map(|job| {
                let rendered;
                let bytes = if let Some(bytes) = made.get(job.path.as_str()) {
                    bytes
                } else {
                    rendered =
                        (job.output.make)().map_err(|fault| Stopped::Diagnostics(vec![fault]))?;
                    tick();
                    &rendered
                };
                way.put(folder, &job.path, bytes)?;
                Ok((job.path.clone(), bytes.len() as u64))
            })
            .collect();
        lengths.extend(written?);
    }
    Ok(lengths)
}
