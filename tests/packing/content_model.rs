//! The content model of a manifest.

use roxmltree::Node;

/// An element as the schemas of content packaging have it: its children in their order, each with the least and the most
/// that may stand there; attributes that must be there; those that may.
struct Element {
    name: &'static str,
    children: &'static [(&'static str, usize, usize)],
    must: &'static [&'static str],
    may: &'static [&'static str],
}

const MANY: usize = usize::MAX;

/// The content model of a manifest: what content packaging 1.1.2 and 1.1.4 share, narrowed to what SCORM asks for in a
/// package with one page (names of both schema elements, one organization, titles, a page that is opened). From memory,
/// since the schemas may not be bundled.
const MODEL: &[Element] = &[
    Element {
        name: "manifest",
        children: &[
            ("metadata", 1, 1),
            ("organizations", 1, 1),
            ("resources", 1, 1),
        ],
        must: &["identifier"],
        may: &["version"],
    },
    Element {
        name: "metadata",
        children: &[("schema", 1, 1), ("schemaversion", 1, 1)],
        must: &[],
        may: &[],
    },
    Element {
        name: "organizations",
        children: &[("organization", 1, 1)],
        must: &["default"],
        may: &[],
    },
    Element {
        name: "organization",
        children: &[("title", 1, 1), ("item", 1, MANY)],
        must: &["identifier"],
        may: &["structure"],
    },
    Element {
        name: "item",
        children: &[("title", 1, 1), ("item", 0, MANY)],
        must: &["identifier", "identifierref"],
        may: &["isvisible", "parameters"],
    },
    Element {
        name: "resources",
        children: &[("resource", 1, MANY)],
        must: &[],
        may: &[],
    },
    Element {
        name: "resource",
        children: &[("file", 1, MANY)],
        must: &["identifier", "type", "href"],
        may: &[],
    },
    Element {
        name: "file",
        children: &[],
        must: &["href"],
        may: &[],
    },
];

/// Elements that hold text alone.
const TEXTS: [&str; 3] = ["schema", "schemaversion", "title"];

/// Every element of a manifest stands where it may, with what it must have and nothing else. `kind` is the attribute by which
/// SCORM tells a resource that speaks from one that is only shown.
pub(crate) fn fits_the_content_model(element: Node<'_, '_>, kind: (&str, &str)) {
    let name = element.tag_name().name();
    let namespace = element.tag_name().namespace();
    if TEXTS.contains(&name) {
        let text = element.text().unwrap_or_default();
        // The least that every system must keep of a title; from memory.
        assert!(
            !text.trim().is_empty() && text.chars().count() <= 200,
            "{name}: {text}"
        );
        assert!(element.children().all(|node| node.is_text()), "{name}");
        assert_eq!(element.attributes().len(), 0, "{name}");
        return;
    }
    let model = MODEL
        .iter()
        .find(|known| known.name == name)
        .unwrap_or_else(|| panic!("`{name}` is no element of a manifest"));
    for (child, least, most) in model.children {
        let count = element
            .children()
            .filter(|node| node.is_element() && node.tag_name().name() == *child)
            .count();
        assert!(
            (*least..=*most).contains(&count),
            "{count} of `{child}` in `{name}`"
        );
    }
    let order: Vec<usize> = element
        .children()
        .filter(Node::is_element)
        .map(|node| {
            assert_eq!(node.tag_name().namespace(), namespace, "in `{name}`");
            let own = node.tag_name().name();
            let place = model.children.iter().position(|(child, ..)| *child == own);
            place.unwrap_or_else(|| panic!("`{own}` in `{name}`"))
        })
        .collect();
    assert!(order.is_sorted(), "the order in `{name}`");
    assert!(
        element.children().filter(Node::is_text).all(|node| node
            .text()
            .unwrap_or_default()
            .trim()
            .is_empty()),
        "text in `{name}`"
    );
    for attribute in element.attributes() {
        let own = attribute.name();
        let known = match attribute.namespace() {
            None => model.must.contains(&own) || model.may.contains(&own),
            Some(other) => name == "resource" && (other, own) == kind,
        };
        assert!(known, "`{own}` of `{name}`");
        assert!(!attribute.value().trim().is_empty(), "`{own}` of `{name}`");
    }
    for wanted in model.must {
        assert!(element.has_attribute(*wanted), "`{wanted}` of `{name}`");
    }
    if name == "resource" {
        let role = element.attribute(kind);
        assert!(matches!(role, Some("sco" | "asset")), "{role:?}");
    }
    for child in element.children().filter(Node::is_element) {
        fits_the_content_model(child, kind);
    }
}
