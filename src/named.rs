//! A few values by name, in order of names: a sorted list with the manners of a map. The
//! standard map unfolds into several kilobytes for each kind of value, which every reader of the
//! page would have to fetch.

use serde::ser::{Serialize, SerializeMap as _, Serializer};

/// A few values by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Named<V> {
    entries: Vec<(String, V)>,
}

impl<V> Default for Named<V> {
    fn default() -> Self {
        Self::new()
    }
}

impl<V> Named<V> {
    /// No values.
    #[must_use]
    pub const fn new() -> Self {
        Self {
            entries: Vec::new(),
        }
    }

    fn find(&self, name: &str) -> Result<usize, usize> {
        self.entries
            .binary_search_by(|(known, _)| known.as_str().cmp(name))
    }

    /// Puts a value under a name and gives back the one that stood there.
    pub fn insert(&mut self, name: String, value: V) -> Option<V> {
        match self.find(&name) {
            Ok(place) => Some(std::mem::replace(&mut self.entries[place].1, value)),
            Err(place) => {
                self.entries.insert(place, (name, value));
                None
            }
        }
    }

    /// The value of that name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&V> {
        let place = self.find(name).ok()?;
        Some(&self.entries[place].1)
    }

    /// The value of that name, made if there is none.
    pub fn get_or_default(&mut self, name: &str) -> &mut V
    where
        V: Default,
    {
        let place = match self.find(name) {
            Ok(place) => place,
            Err(place) => {
                self.entries.insert(place, (name.to_owned(), V::default()));
                place
            }
        };
        &mut self.entries[place].1
    }

    /// Whether there is a value of that name.
    #[must_use]
    pub fn contains(&self, name: &str) -> bool {
        self.find(name).is_ok()
    }

    /// Names and values, in order of names.
    pub fn iter(&self) -> impl Iterator<Item = (&String, &V)> {
        self.entries.iter().map(|(name, value)| (name, value))
    }

    /// The values, in order of names.
    pub fn values(&self) -> impl Iterator<Item = &V> {
        self.entries.iter().map(|(_, value)| value)
    }

    /// The values to be changed, in order of names.
    pub fn values_mut(&mut self) -> impl Iterator<Item = &mut V> {
        self.entries.iter_mut().map(|(_, value)| value)
    }

    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Takes all away.
    pub fn clear(&mut self) {
        self.entries.clear();
    }
}

impl<V> FromIterator<(String, V)> for Named<V> {
    fn from_iter<I: IntoIterator<Item = (String, V)>>(values: I) -> Self {
        let mut named = Self::new();
        for (name, value) in values {
            named.insert(name, value);
        }
        named
    }
}

impl<V: Serialize> Serialize for Named<V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(Some(self.entries.len()))?;
        for (name, value) in &self.entries {
            map.serialize_entry(name, value)?;
        }
        map.end()
    }
}

#[cfg(test)]
mod tests {
    use super::Named;
    use std::collections::BTreeMap;

    #[test]
    fn behaves_and_is_written_as_the_standard_map_does() {
        let words = ["width", "area", "width", "", "zero", "area-2", "Area"];
        let mut ours = Named::new();
        let mut standard = BTreeMap::new();
        for (index, word) in words.iter().enumerate() {
            ours.insert((*word).to_owned(), index);
            standard.insert((*word).to_owned(), index);
        }
        assert!(ours.iter().eq(standard.iter()));
        assert_eq!(ours.len(), standard.len());
        assert_eq!(ours.get("width"), standard.get("width"));
        assert_eq!(ours.get("none"), None);
        assert!(ours.contains("zero") && !ours.contains("none"));
        *ours.get_or_default("none") += 3;
        *standard.entry("none".to_owned()).or_default() += 3;
        assert_eq!(
            serde_json::to_string(&ours).ok(),
            serde_json::to_string(&standard).ok()
        );
    }
}
