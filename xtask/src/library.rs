//! `crates/boat/src/library/list.rs`: the class files of the library's folder, listed for the compiler.

/// The width at which rustfmt breaks a row (`rustfmt.toml`).
const WIDTH: usize = 110;

const FOLDER: &str = "crates/boat/src/library";

/// The list's text, from the names of the files that lie there.
pub(crate) fn list() -> Result<String, String> {
    let files = std::fs::read_dir(FOLDER).map_err(|error| format!("{FOLDER} can't be read: {error}."))?;
    let names: Vec<String> = files.flatten().filter_map(|file| file.file_name().into_string().ok()).collect();
    Ok(of(&names))
}

fn of(files: &[String]) -> String {
    let mut classes: Vec<&str> = files
        .iter()
        .filter_map(|name| name.strip_suffix(".toml"))
        .filter(|name| !name.starts_with('_'))
        .collect();
    classes.sort_unstable();
    let rows: String = classes.into_iter().map(row).collect();
    format!(
        "//! The files of the library, in alphabetical order. Written by `cargo xtask generate`.\n\n\
         use super::LibraryFile;\n\n\
         pub(super) const FILES: &[LibraryFile] = &[\n{rows}];\n"
    )
}

fn row(class: &str) -> String {
    let text = format!("include_str!(\"{class}.toml\")");
    let one_line = format!("    LibraryFile {{ class: \"{class}\", text: {text} }},\n");
    if one_line.trim_end().len() <= WIDTH {
        return one_line;
    }
    format!("    LibraryFile {{\n        class: \"{class}\",\n        text: {text},\n    }},\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn classes_are_in_order_and_shared_cautions_and_other_files_are_not_among_them() {
        let files = ["winch.toml", "_common.toml", "list.rs", "anchor.toml"].map(String::from);
        let list = of(&files);
        let rows: Vec<&str> = list.lines().filter(|line| line.starts_with("    ")).collect();
        assert_eq!(
            rows,
            [
                "    LibraryFile { class: \"anchor\", text: include_str!(\"anchor.toml\") },",
                "    LibraryFile { class: \"winch\", text: include_str!(\"winch.toml\") },",
            ]
        );
    }

    #[test]
    fn a_long_name_is_broken_as_rustfmt_breaks_it() {
        let long = "a_class_with_a_name_that_is_too_long";
        assert_eq!(
            row(long),
            format!(
                "    LibraryFile {{\n        class: \"{long}\",\n        text: include_str!(\"{long}.toml\"),\n    }},\n"
            )
        );
    }
}
