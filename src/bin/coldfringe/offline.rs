//! Opening a hosted site again without a network: the script of the worker that keeps what was opened, and the one by which
//! a page asks for it. Pages in one file, packages and the served notebook have neither.

use crate::bundle::digest;
use crate::site::Site;

/// The script that every page of the hosted site loads, in `assets/`.
pub(crate) const SCRIPT: &str = "offline.js";
/// What it says.
pub(crate) const SCRIPT_TEXT: &str = include_str!("offline/offline.js");
/// The worker at the site's root: it can only keep what lies beside and below it.
pub(crate) const KEEPER: &str = "sw.js";

/// The digits of a digest that tell two files apart: eight bytes' worth.
const DIGITS: usize = 16;

/// Adds the worker to a site that is complete: it knows every file of this build by its digest.
pub(crate) fn add_keeper(site: &mut Site) {
    let files: Vec<String> = site
        .files
        .iter()
        .map(|(path, bytes)| format!("{path:?}: \"{}\"", &digest(&[bytes])[..DIGITS]))
        .collect();
    let files = format!("{{ {} }}", files.join(", "));
    let edition = digest(&[files.as_bytes()]);
    let keeper = include_str!("offline/sw.js")
        .replacen("const FILES = {}", &format!("const FILES = {files}"), 1)
        .replacen(
            "const EDITION = \"\"",
            &format!("const EDITION = \"{}\"", &edition[..DIGITS]),
            1,
        );
    site.put(KEEPER, keeper);
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test stops at the first surprise")]
mod tests {
    use super::*;

    fn keeper(page: &str) -> String {
        let mut site = Site::default();
        site.put("index.html", page.to_owned());
        add_keeper(&mut site);
        String::from_utf8(site.files[KEEPER].clone()).unwrap()
    }

    /// SHA-256 of "abc" begins with ba7816bf8f01cfea (FIPS 180-2, appendix B.1; from memory).
    #[test]
    fn every_file_is_known_by_its_digest() {
        let text = keeper("abc");
        assert!(
            text.contains("const FILES = { \"index.html\": \"ba7816bf8f01cfea\" };"),
            "{text}"
        );
        assert!(!text.contains("const EDITION = \"\""));
    }

    #[test]
    fn another_build_has_another_shelf() {
        let edition = |text: &str| {
            let begins = text.find("const EDITION").unwrap();
            text[begins..begins + 40].to_owned()
        };
        assert_eq!(edition(&keeper("abc")), edition(&keeper("abc")));
        assert_ne!(edition(&keeper("abc")), edition(&keeper("abd")));
    }
}
