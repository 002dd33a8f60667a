#[test]
fn look() {
    for length in [0.3, 1.0, 20.0] {
        let curve = coldfringe::model::long_junction::CriticalCurve::new(length, 80.0);
        for k in 0..300 {
            let h = 58.0 + 0.02 * f64::from(k);
            let (a, b) = (curve.at(h), curve.without_own_field(h));
            if (a - b).abs() > 1e-4 && b > 0.006 { println!("{length} {h:.3} {a:.6} {b:.6}"); }
        }
    }
}
