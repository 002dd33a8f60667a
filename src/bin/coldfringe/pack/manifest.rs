//! The manifest of a package: what is in it and what is to be opened, as XML.
//!
//! Names of elements and attributes and the versions of the schemas are those of SCORM 1.2 and SCORM 2004 3rd Edition, as
//! packages that are in use have them; from memory, since the schemas themselves may not be bundled here.

use coldfringe::page::html::escape;

use super::Scorm;

/// The name that the manifest must have, at the root of the package.
pub(super) const NAME: &str = "imsmanifest.xml";

/// What a manifest says of its package.
#[derive(Debug, Clone, Copy)]
pub(super) struct Contents<'a> {
    /// A name without spaces, of this package alone.
    pub(super) name: &'a str,
    /// What a person sees.
    pub(super) title: &'a str,
    /// The file that is opened.
    pub(super) page: &'a str,
    /// Whether the page speaks with the course system; else it is only shown.
    pub(super) speaks: bool,
}

/// The manifest.
pub(super) fn manifest(scorm: Scorm, contents: Contents<'_>) -> String {
    let (namespaces, version, kind) = match scorm {
        Scorm::V12 => (
            "xmlns=\"http://www.imsproject.org/xsd/imscp_rootv1p1p2\" \
             xmlns:adlcp=\"http://www.adlnet.org/xsd/adlcp_rootv1p2\"",
            "1.2",
            "scormtype",
        ),
        Scorm::V2004 => (
            "xmlns=\"http://www.imsglobal.org/xsd/imscp_v1p1\" \
             xmlns:adlcp=\"http://www.adlnet.org/xsd/adlcp_v1p3\"",
            "2004 3rd Edition",
            "scormType",
        ),
    };
    let Contents {
        name, title, page, ..
    } = contents;
    let role = if contents.speaks { "sco" } else { "asset" };
    let (name, title, page) = (escape(name), escape(title), escape(page));
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <manifest identifier=\"{name}\" version=\"1\" {namespaces}>\n  \
         <metadata>\n    <schema>ADL SCORM</schema>\n    <schemaversion>{version}</schemaversion>\n  </metadata>\n  \
         <organizations default=\"{name}-course\">\n    \
         <organization identifier=\"{name}-course\">\n      <title>{title}</title>\n      \
         <item identifier=\"{name}-item\" identifierref=\"{name}-page\">\n        <title>{title}</title>\n      </item>\n    \
         </organization>\n  </organizations>\n  \
         <resources>\n    \
         <resource identifier=\"{name}-page\" type=\"webcontent\" adlcp:{kind}=\"{role}\" href=\"{page}\">\n      \
         <file href=\"{page}\"/>\n    </resource>\n  </resources>\n</manifest>\n"
    )
}
