//! The house is in order: every check has its file, page and fixtures; nothing has grown too
//! long; nothing stands about at the top level.

use std::path::{Path, PathBuf};

use bayline::check::{Kind, Severity};

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn names(folder: &str) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(root().join(folder))
        .unwrap_or_else(|e| panic!("{folder}: {e}"))
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn every_check_has_its_file_page_and_fixtures() {
    for kind in Kind::ALL {
        let name = kind.name();
        let source = format!("src/check/{}.rs", name.replace('-', "_"));
        for file in [
            source.clone(),
            format!("docs/checks/{name}.md"),
            format!("fixtures/checks/{name}.plan"),
            format!("fixtures/checks/{name}.clean.plan"),
        ] {
            assert!(root().join(&file).is_file(), "{file} is missing");
        }
        let code = std::fs::read_to_string(root().join(&source)).unwrap();
        assert!(
            code.starts_with(&format!("//! `{name}`")),
            "{source} opens with its kind"
        );
        assert!(code.contains("#[test]"), "{source} has no test");
    }
}

#[test]
fn every_page_says_what_its_check_says() {
    for kind in Kind::ALL {
        let page = format!("docs/checks/{}.md", kind.name());
        let text = std::fs::read_to_string(root().join(&page)).unwrap();
        let severity = match kind.severity() {
            Severity::Must => "must",
            Severity::Should => "should",
            Severity::Note => "note",
        };
        assert!(
            text.starts_with(&format!("# `{}` ({severity})\n", kind.name())),
            "{page}"
        );
        for part in [
            "## On the job",
            "## When it fires",
            "## Limit",
            "## How to mend it",
        ] {
            assert!(text.contains(part), "{page} lacks {part}");
        }
        assert!(text.contains("Source:"), "{page} names no source");
    }
}

#[test]
fn no_page_or_fixture_without_a_check() {
    let known = |file: &str| Kind::ALL.iter().any(|k| Some(k.name()) == file.split('.').next());
    for folder in ["docs/checks", "fixtures/checks"] {
        let names = names(folder);
        assert!(names.len() >= Kind::ALL.len(), "{folder}");
        for name in names {
            assert!(known(&name), "{folder}/{name} belongs to no check");
        }
    }
}

fn files_under(folder: &Path, extension: &str, found: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            files_under(&path, extension, found);
        } else if path.extension().is_some_and(|e| e == extension) {
            found.push(path);
        }
    }
}

#[test]
fn pages_point_at_what_is_there() {
    let mut pages = vec![root().join("README.md"), root().join("DEVELOPERS.md")];
    files_under(&root().join("docs"), "md", &mut pages);
    let mut links = 0;
    for page in pages {
        let text = std::fs::read_to_string(&page).unwrap();
        for target in text
            .split("](")
            .skip(1)
            .filter_map(|rest| rest.split([')', '#']).next())
        {
            if target.is_empty() || target.contains("://") {
                continue;
            }
            links += 1;
            let there = page.parent().unwrap().join(target);
            assert!(there.exists(), "{} points at {target}", page.display());
        }
    }
    assert!(links > 0);
}

#[test]
fn source_files_are_short_and_say_what_they_are_for() {
    let mut files = Vec::new();
    files_under(&root().join("src"), "rs", &mut files);
    assert!(!files.is_empty());
    let mut faults = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let lines = text.lines().count();
        if lines > 500 {
            faults.push(format!(
                "{} has {lines} lines: split it by meaning",
                file.display()
            ));
        }
        if !text.starts_with("//! ") {
            faults.push(format!("{} does not open with its purpose", file.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_top_level_holds_what_it_should() {
    let allowed = [
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "docs",
        "fixtures",
        "src",
        "tests",
    ];
    // Made by building and by the demo; ignored by git.
    let made = ["target", "redlines"];
    let ignored = std::fs::read_to_string(root().join(".gitignore")).unwrap();
    for name in made {
        assert!(
            ignored.lines().any(|l| l == format!("/{name}")),
            "{name} is not ignored"
        );
    }
    for name in names(".") {
        let fine = name.starts_with('.') || allowed.contains(&name.as_str()) || made.contains(&name.as_str());
        assert!(fine, "{name} does not belong at the top level");
    }
    for name in allowed {
        assert!(root().join(name).exists(), "{name} is missing");
    }
}
