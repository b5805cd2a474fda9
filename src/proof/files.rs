//! Files of `out/` for a browser. The one file of this room that reads them; never gives one from outside its half.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

/// The halves of `out/` that are served; the ledger is not.
const HALVES: [&str; 2] = ["site", "office"];

/// What stands at a path.
#[derive(Debug)]
pub enum There {
    /// A page that no file holds yet.
    AtOnce(Vec<u8>),
    /// A file, opened, with its name.
    File(File, PathBuf),
    /// A folder that was asked for without its slash.
    Folder,
    /// Nothing that may be given.
    Nothing,
}

/// The path below `out` that these names are of; a folder's own page for an empty last name.
pub fn path_of(names: &[String]) -> String {
    let mut path = names.join("/");
    if path.ends_with('/') {
        path.push_str("index.html");
    }
    path
}

/// Whether the file at a path below `out` is this, byte for byte.
pub fn is(out: &Path, path: &str, bytes: &[u8]) -> bool {
    fs::read(out.join(path)).is_ok_and(|there| there == bytes)
}

/// What stands in `out` under these names, the last of them empty for a folder's own page. A link that leads out of
/// its half of `out` leads to nothing.
pub fn find(out: &Path, names: &[String]) -> There {
    let Some((half, below)) = names.split_first() else {
        return There::Nothing;
    };
    if !HALVES.contains(&half.as_str()) {
        return There::Nothing;
    }
    let Ok(root) = out.canonicalize().map(|out| out.join(half)) else {
        return There::Nothing;
    };
    let mut path = root.clone();
    for name in below {
        path.push(if name.is_empty() { "index.html" } else { name });
    }
    // Looked at with every link followed: what is opened below is what was looked at.
    let Ok(real) = path.canonicalize() else {
        return There::Nothing;
    };
    if !real.starts_with(&root) {
        return There::Nothing;
    }
    if real.is_dir() {
        return There::Folder;
    }
    // A pipe would wait for ever.
    if !real.is_file() {
        return There::Nothing;
    }
    match File::open(&real) {
        Ok(file) => There::File(file, real),
        Err(_) => There::Nothing,
    }
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::*;

    fn names(path: &str) -> Vec<String> {
        path.split('/').map(str::to_owned).collect()
    }

    #[test]
    fn gives_files_and_folders_of_both_halves_and_nothing_else() {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let out = folder.path().join("out");
        for path in [
            "site/a/index.html",
            "office/index.html",
            "ledger/written.json",
        ] {
            let path = out.join(path);
            fs::create_dir_all(path.parent().expect("a parent")).expect("made");
            fs::write(path, "x").expect("written");
        }
        assert_eq!(path_of(&names("site/a/")), "site/a/index.html");
        assert_eq!(path_of(&names("site/a.html")), "site/a.html");
        assert!(matches!(find(&out, &names("site/a/")), There::File(..)));
        assert!(matches!(find(&out, &names("site/a")), There::Folder));
        assert!(matches!(find(&out, &names("site")), There::Folder));
        assert!(matches!(find(&out, &names("office/")), There::File(..)));
        for other in [
            "",
            "site/",
            "site/b",
            "ledger/written.json",
            "site/a/index.html/",
        ] {
            assert!(
                matches!(find(&out, &names(other)), There::Nothing),
                "{other}"
            );
        }
    }

    #[cfg(unix)]
    #[test]
    fn a_link_that_leads_out_leads_to_nothing() {
        use std::os::unix::fs::symlink;
        let folder = tempfile::tempdir().expect("a temporary folder");
        let out = folder.path().join("out");
        fs::create_dir_all(out.join("site")).expect("made");
        fs::create_dir_all(folder.path().join("outside")).expect("made");
        fs::write(folder.path().join("outside/index.html"), "x").expect("written");
        fs::write(out.join("site/in.html"), "x").expect("written");
        symlink(folder.path().join("outside"), out.join("site/away")).expect("linked");
        symlink("../../outside/index.html", out.join("site/away.html")).expect("linked");
        symlink("in.html", out.join("site/within.html")).expect("linked");
        symlink(folder.path().join("outside"), out.join("office")).expect("linked");
        for away in [
            "site/away/",
            "site/away",
            "site/away.html",
            "office/",
            "office",
        ] {
            assert!(matches!(find(&out, &names(away)), There::Nothing), "{away}");
        }
        assert!(matches!(
            find(&out, &names("site/within.html")),
            There::File(..)
        ));
    }
}
