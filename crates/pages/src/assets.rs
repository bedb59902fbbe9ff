//! The style sheet and the script, each under an address that changes with its content.

use std::sync::OnceLock;

/// A file that the pages ask for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Asset {
    /// Its address on the site; a new content has a new address, so browsers may keep it for ever.
    pub path: String,
    /// Its media type.
    pub media: &'static str,
    /// Its content.
    pub body: &'static str,
}

/// One script in parts, each for itself.
const SCRIPT: &str = concat!(
    include_str!("../looks/becket.js"),
    include_str!("../looks/dock.js"),
    include_str!("../looks/brief.js"),
    include_str!("../looks/setup.js"),
    include_str!("../looks/spot.js")
);

/// One style sheet in parts: the paper's rules come last, since they override the others.
const STYLE: &str = concat!(
    include_str!("../looks/becket.css"),
    include_str!("../looks/forecast.css"),
    include_str!("../looks/wrong.css"),
    include_str!("../looks/base.css"),
    include_str!("../looks/office.css"),
    include_str!("../looks/dock.css"),
    include_str!("../looks/brief.css"),
    include_str!("../looks/law.css"),
    include_str!("../looks/setup.css"),
    include_str!("../looks/paper.css")
);

/// All files that the pages ask for: the style sheet, the script, the icon.
pub fn assets() -> &'static [Asset; 3] {
    static ALL: OnceLock<[Asset; 3]> = OnceLock::new();
    ALL.get_or_init(|| {
        [
            asset("becket", "css", "text/css; charset=utf-8", STYLE),
            asset("becket", "js", "text/javascript; charset=utf-8", SCRIPT),
            asset("mark", "svg", "image/svg+xml", include_str!("../looks/mark.svg")),
        ]
    })
}

fn asset(name: &str, kind: &str, media: &'static str, body: &'static str) -> Asset {
    Asset { path: format!("/looks/{name}-{:016x}.{kind}", fingerprint(body)), media, body }
}

/// The 64-bit FNV-1a hash of a text: enough to tell one edition of a file from the next.
fn fingerprint(text: &str) -> u64 {
    text.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_fingerprint_is_fnv_1a() {
        // Check values from the draft "The FNV Non-Cryptographic Hash Algorithm" (draft-eastlake-fnv), 64 bits.
        assert_eq!(fingerprint(""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fingerprint("a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fingerprint("foobar"), 0x8594_4171_f739_67e8);
    }

    #[test]
    fn nothing_is_asked_from_elsewhere() {
        for asset in assets() {
            let body = asset.body.replace("http://www.w3.org/2000/svg", "");
            for outside in ["http:", "https:", "//cdn", "@import", "url("] {
                assert!(!body.contains(outside), "{} asks for {outside}", asset.path);
            }
        }
    }
}
