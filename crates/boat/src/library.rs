//! The class library: TOML files compiled into the program, each a class of item with sound defaults.

mod list;

use list::FILES;

/// One file of the library.
#[derive(Debug, Clone, Copy)]
pub(crate) struct LibraryFile {
    /// The class's id, and the file's name without its ending.
    pub(crate) class: &'static str,
    /// The file's text.
    pub(crate) text: &'static str,
}

/// Cautions that many classes share.
pub(crate) const COMMON: LibraryFile =
    LibraryFile { class: "_common", text: include_str!("library/_common.toml") };

/// The file of a class.
pub(crate) fn class_file(class: &str) -> Option<LibraryFile> {
    FILES.iter().find(|file| file.class == class).copied()
}

/// The ids of all classes, in alphabetical order.
pub fn classes() -> impl Iterator<Item = &'static str> {
    FILES.iter().map(|file| file.class)
}

/// The text of a class's file, for people who want to read what it brings.
pub fn class_text(class: &str) -> Option<&'static str> {
    class_file(class).map(|file| file.text)
}

/// What a class is, in one sentence, as its file says.
pub fn class_about(class: &str) -> String {
    let text = class_text(class).unwrap_or_default();
    let document: Option<toml_edit::DocumentMut> = text.parse().ok();
    let about = document.as_ref().and_then(|document| document.get("about")).and_then(|about| about.as_str());
    about.unwrap_or_default().to_owned()
}

#[cfg(test)]
#[allow(clippy::disallowed_methods, reason = "the test compares the list with the folder")]
mod tests {
    use super::*;

    #[test]
    fn every_file_of_the_folder_is_listed_in_order() {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/library");
        let mut found: Vec<String> = std::fs::read_dir(folder)
            .unwrap()
            .filter_map(|file| {
                file.unwrap().file_name().into_string().unwrap().strip_suffix(".toml").map(String::from)
            })
            .filter(|name| !name.starts_with('_'))
            .collect();
        found.sort();
        let listed: Vec<&str> = classes().collect();
        assert_eq!(listed, found, "run `cargo xtask generate` after adding a class");
    }
}
