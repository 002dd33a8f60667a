//! Floor 5: the lesson. The text format ([`text`]) and the typed lesson ([`spec`]).
//! Must not know HTML or the DOM.

pub mod spec;
