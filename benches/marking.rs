//! How long the marking of a class takes, for each assignment: `cargo bench --bench marking`.

// On the page's target there is nothing to time here.
#[cfg(target_arch = "wasm32")]
fn main() {}

#[cfg(not(target_arch = "wasm32"))]
fn main() {
    divan::main();
}

#[cfg(not(target_arch = "wasm32"))]
mod marking {
    use std::path::Path;
    use std::thread;

    use coldfringe::homework::demo;
    use coldfringe::homework::grading::{Grader, Keep, Row};
    use coldfringe::homework::template::AssignmentFile;
    use divan::counter::ItemsCount;

    const ASSIGNMENTS: [&str; 4] = ["slits", "loops", "sensor-design", "reading-data"];
    /// Students of a class, with some 10,500 receipts.
    const CLASS: usize = 10_000;
    const THREADS: usize = 2;

    fn assignment(slug: &str) -> Option<AssignmentFile> {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("lessons/homework");
        let path = folder.join(format!("{slug}.md"));
        let source = std::fs::read_to_string(path).ok()?;
        Some(AssignmentFile::read(&source, slug))
    }

    /// All receipts of a class on two threads, answers computed anew, and the rows compared.
    #[divan::bench(args = ASSIGNMENTS, sample_count = 3, sample_size = 1)]
    fn class(bencher: divan::Bencher<'_, '_>, slug: &str) {
        let Some(file) = assignment(slug) else { return };
        let Ok(receipts) = demo::class(&file.assignment, CLASS) else {
            return;
        };
        bencher
            .counter(ItemsCount::new(receipts.len()))
            .bench_local(|| {
                let grader = Grader::new(&file.assignment);
                let part = |from: usize| -> Vec<Row> {
                    let own = receipts.iter().skip(from).step_by(THREADS);
                    own.filter_map(|(name, text)| grader.row(name, Ok(text)).ok())
                        .collect()
                };
                let rows = thread::scope(|scope| {
                    let parts: Vec<_> = (0..THREADS)
                        .map(|from| scope.spawn(move || part(from)))
                        .collect();
                    let done = parts.into_iter().filter_map(|part| part.join().ok());
                    done.flatten().collect::<Vec<Row>>()
                });
                grader.finish(rows, Keep::Best, None)
            });
    }
}
