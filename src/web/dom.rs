//! Small helpers over the document: making elements, finding places by role, and listeners that
//! unregister when they are dropped.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Document, Element, Event, EventTarget, HtmlElement, HtmlInputElement, Window};

use super::trouble::{Outcome, Trouble};
use crate::decimal;

/// The window.
pub(crate) fn window() -> Outcome<Window> {
    web_sys::window().ok_or_else(|| Trouble::missing("a window"))
}

/// The document.
pub(crate) fn document() -> Outcome<Document> {
    window()?
        .document()
        .ok_or_else(|| Trouble::missing("a document"))
}

/// Now, in milliseconds since 1970.
pub(crate) fn now() -> f64 {
    js_sys::Date::now()
}

/// Whether the reader asked for less motion.
pub(crate) fn reduced_motion() -> bool {
    matches("(prefers-reduced-motion: reduce)")
}

/// Whether a media query matches now.
pub(crate) fn matches(query: &str) -> bool {
    window()
        .ok()
        .and_then(|window| window.match_media(query).ok().flatten())
        .is_some_and(|list| list.matches())
}

/// The size of the page's text in logical pixels; 16 where it cannot be found out.
pub(crate) fn root_text_size() -> f64 {
    let find = || -> Option<f64> {
        let window = window().ok()?;
        let root = window.document()?.document_element()?;
        let style = window.get_computed_style(&root).ok()??;
        let size = style.get_property_value("font-size").ok()?;
        decimal::parse(size.trim_end_matches("px"))
    };
    find().unwrap_or(16.0)
}

/// A new element with a class.
pub(crate) fn element(tag: &str, class: &str) -> Outcome<HtmlElement> {
    let element = document()?.create_element(tag)?;
    if !class.is_empty() {
        element.set_class_name(class);
    }
    element
        .dyn_into()
        .map_err(|_| Trouble::missing("an element that can be made"))
}

/// A new element with a class and words.
pub(crate) fn words(tag: &str, class: &str, text: &str) -> Outcome<HtmlElement> {
    let element = element(tag, class)?;
    element.set_text_content(Some(text));
    Ok(element)
}

/// A new element with a class and words, put at the end of `parent`.
pub(crate) fn append(parent: &Element, tag: &str, class: &str, text: &str) -> Outcome<HtmlElement> {
    let child = words(tag, class, text)?;
    parent.append_child(&child)?;
    Ok(child)
}

/// A button put at the end of `parent`.
pub(crate) fn button(parent: &Element, class: &str, text: &str) -> Outcome<HtmlElement> {
    let button = append(parent, "button", class, text)?;
    button.set_attribute("type", "button")?;
    Ok(button)
}

/// The first element in `root` that matches.
pub(crate) fn find(root: &Element, selector: &str) -> Option<HtmlElement> {
    root.query_selector(selector)
        .ok()
        .flatten()
        .and_then(|element| element.dyn_into().ok())
}

/// All elements in `root` that match.
pub(crate) fn find_all(root: &Element, selector: &str) -> Vec<HtmlElement> {
    let Ok(list) = root.query_selector_all(selector) else {
        return Vec::new();
    };
    (0..list.length())
        .filter_map(|index| list.get(index)?.dyn_into().ok())
        .collect()
}

/// The place with that role in an island.
pub(crate) fn role(root: &Element, role: &'static str) -> Outcome<HtmlElement> {
    find(root, &format!("[data-role=\"{role}\"]")).ok_or_else(|| Trouble::missing(role))
}

/// The box, slider or tick with that role in an island.
pub(crate) fn input(root: &Element, role: &'static str) -> Outcome<HtmlInputElement> {
    self::role(root, role)?
        .dyn_into()
        .map_err(|_| Trouble::missing(role))
}

/// The value of the radio button that is chosen among those in `root`.
pub(crate) fn chosen(root: &Element) -> Option<String> {
    find(root, "input:checked")
        .and_then(|input| input.dyn_into::<HtmlInputElement>().ok())
        .map(|input| input.value())
}

/// Chooses the radio button of that value among those in `root`, and shuts or opens all of them.
pub(crate) fn choose(root: &Element, value: Option<&str>, open: bool) {
    for input in find_all(root, "input[type=radio]") {
        if let Ok(input) = input.dyn_into::<HtmlInputElement>() {
            input.set_checked(Some(input.value().as_str()) == value);
            input.set_disabled(!open);
        }
    }
}

/// Shows or hides an element.
pub(crate) fn show(element: &Element, shown: bool) {
    let _ = if shown {
        element.remove_attribute("hidden")
    } else {
        element.set_attribute("hidden", "")
    };
}

/// Sets one style property. Goes through the object model, which a strict content security
/// policy allows where it forbids the attribute.
pub(crate) fn style(element: &HtmlElement, property: &str, value: &str) {
    let _ = element.style().set_property(property, value);
}

/// Sets an attribute, or takes it away when there is no value.
pub(crate) fn mark(element: &Element, name: &str, value: Option<&str>) {
    let _ = match value {
        Some(value) => element.set_attribute(name, value),
        None => element.remove_attribute(name),
    };
}

/// Writes words into a place by its role, if there is one, and touches it only for a change.
pub(crate) fn say(root: &Element, role: &'static str, words: &str) {
    if let Ok(place) = self::role(root, role)
        && place.text_content().as_deref() != Some(words)
    {
        place.set_text_content(Some(words));
    }
}

/// The value of an input.
pub(crate) fn value(input: &Element) -> String {
    input
        .dyn_ref::<HtmlInputElement>()
        .map(HtmlInputElement::value)
        .unwrap_or_default()
}

/// Sets the value of an input.
pub(crate) fn set_value(input: &Element, value: &str) {
    if let Some(input) = input.dyn_ref::<HtmlInputElement>() {
        input.set_value(value);
    }
}

/// A listener on an event target; dropping it takes it off.
pub(crate) struct Listener {
    target: EventTarget,
    event: &'static str,
    closure: Closure<dyn Fn(Event)>,
}

impl std::fmt::Debug for Listener {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter
            .debug_struct("Listener")
            .field("event", &self.event)
            .finish_non_exhaustive()
    }
}

impl Listener {
    /// Listens to `event` on `target`.
    pub(crate) fn new(
        target: &EventTarget,
        event: &'static str,
        handler: impl Fn(Event) + 'static,
    ) -> Self {
        Self::on(target, event, Box::new(handler))
    }

    /// The same for all kinds of handlers: a copy for each of half a hundred would weigh kilobytes.
    fn on(target: &EventTarget, event: &'static str, handler: Box<dyn Fn(Event)>) -> Self {
        let closure = Closure::wrap(handler);
        let _ = target.add_event_listener_with_callback(event, closure.as_ref().unchecked_ref());
        Self {
            target: target.clone(),
            event,
            closure,
        }
    }
}

impl Drop for Listener {
    fn drop(&mut self) {
        let _ = self
            .target
            .remove_event_listener_with_callback(self.event, self.closure.as_ref().unchecked_ref());
    }
}

/// Whether the keyboard is in an element.
pub(crate) fn has_focus(element: &Element) -> bool {
    document()
        .ok()
        .and_then(|document| document.active_element())
        .is_some_and(|active| element.contains(Some(&active)))
}

/// Whether the keyboard is in no element.
pub(crate) fn is_focus_nowhere() -> bool {
    document().is_ok_and(|document| {
        document
            .active_element()
            .is_none_or(|active| active.tag_name() == "BODY")
    })
}

/// Tells everything that is drawn to look at its size again.
pub(crate) fn look_at_size() {
    if let (Ok(window), Ok(event)) = (window(), Event::new("resize")) {
        let _ = window.dispatch_event(&event);
    }
}

/// Does something as soon as what is going on now is done.
#[cfg(not(coldfringe_without_homework))]
pub(crate) fn later(act: impl FnOnce() + 'static) {
    let act = Closure::once_into_js(act);
    if let Ok(window) = window() {
        let _ = window.set_timeout_with_callback(act.unchecked_ref());
    }
}

/// Something to be done once, a little later; dropping it calls it off.
pub(crate) struct Timer {
    number: i32,
    _closure: Closure<dyn Fn()>,
}

impl Timer {
    /// Calls `act` after so many milliseconds.
    pub(crate) fn once(delay: i32, act: impl Fn() + 'static) -> Option<Self> {
        let closure = Closure::<dyn Fn()>::new(act);
        let function = closure.as_ref().unchecked_ref();
        let number = window()
            .ok()?
            .set_timeout_with_callback_and_timeout_and_arguments_0(function, delay)
            .ok()?;
        Some(Self {
            number,
            _closure: closure,
        })
    }
}

impl Drop for Timer {
    fn drop(&mut self) {
        if let Ok(window) = window() {
            window.clear_timeout_with_handle(self.number);
        }
    }
}

/// A random name of sixteen hexadecimal digits. It tells attempts apart and hides nothing.
pub(crate) fn random_name() -> String {
    let part = || format!("{:08x}", (js_sys::Math::random() * 4_294_967_296.0) as u32);
    format!("{}{}", part(), part())
}
