//! Floor 4: charts and board pictures as scenes (pure data), and the painter that puts a scene on
//! any drawing backend. Must not know predictions or lessons.

pub mod scene;
