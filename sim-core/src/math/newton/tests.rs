use super::*;

fn wide(size: usize) -> Bounds {
    Bounds {
        lower: DVector::from_element(size, -1e3),
        upper: DVector::from_element(size, 1e3),
        step_max: DVector::from_element(size, 10.0),
        difference: DVector::from_element(size, 1e-6),
    }
}

const OPTIONS: NewtonOptions = NewtonOptions { tolerance: 1e-10, evaluations_max: 60 };

type Never = std::convert::Infallible;

/// A circle of radius 2 cut by the line y = x.
fn circle(at: &DVector<f64>) -> Result<DVector<f64>, Never> {
    Ok(DVector::from_vec(vec![at.norm_squared() - 4.0, at[1] - at[0]]))
}

#[test]
fn finds_a_root_and_reuses_its_jacobian() {
    let start = DVector::from_vec(vec![3.0, 0.5]);
    let first = solve_newton(circle, start, None, &wide(2), OPTIONS).unwrap();
    assert!((first.unknowns[0] - 2f64.sqrt()).abs() < 1e-10);
    let near = DVector::from_vec(vec![1.40, 1.42]);
    let again = solve_newton(circle, near, first.jacobian.as_ref(), &wide(2), OPTIONS).unwrap();
    assert!(again.evaluations < 8 && again.evaluations < first.evaluations);
}

#[test]
fn names_the_bound_that_holds() {
    let mut bounds = wide(2);
    bounds.upper[0] = 1.0;
    let error = solve_newton(circle, DVector::from_vec(vec![0.5, 0.5]), None, &bounds, OPTIONS)
        .unwrap_err();
    assert!(matches!(error, NewtonError::AtBound { index: 0, value, .. } if value == 1.0));
}

#[test]
fn names_unknowns_that_do_nothing() {
    let deaf = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
        Ok(DVector::from_vec(vec![at[0] - 1.0, 2.0 * at[0] - 3.0]))
    };
    let start = DVector::from_vec(vec![0.0, 0.0]);
    let error = solve_newton(deaf, start, None, &wide(2), OPTIONS).unwrap_err();
    assert!(matches!(error, NewtonError::Singular { .. }));
}

#[test]
fn gives_up_where_there_is_no_root() {
    let hopeless = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
        Ok(DVector::from_vec(vec![at[0] * at[0] + 1.0]))
    };
    let error =
        solve_newton(hopeless, DVector::from_vec(vec![3.0]), None, &wide(1), OPTIONS).unwrap_err();
    assert!(matches!(error, NewtonError::NotConverged { evaluations, .. } if evaluations <= 60));
}

/// What is given is used: with its own Jacobian a linear problem is solved by one
/// step; one of another size is none.
#[test]
fn a_given_jacobian_is_used_if_it_fits() {
    let matrix = DMatrix::from_row_slice(2, 2, &[3.0, 1.0, -1.0, 2.0]);
    let linear = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
        Ok(&matrix * at - DVector::from_vec(vec![5.0, 3.0]))
    };
    let start = || DVector::from_vec(vec![0.0, 0.0]);
    let evaluations = |given: &DMatrix<f64>| {
        let found = solve_newton(linear, start(), Some(given), &wide(2), OPTIONS).unwrap();
        assert!((found.unknowns - DVector::from_vec(vec![1.0, 2.0])).norm() < 1e-9);
        found.evaluations
    };
    assert_eq!(evaluations(&matrix), 2);
    // Two differences more, of which one or two steps do not bring the last digits.
    assert!((4..6).contains(&evaluations(&DMatrix::identity(3, 3))));
}

/// Newton's step from afar throws the arc tangent beyond any bound: it is shortened
/// until the residual falls, and no trial goes further than it may.
#[test]
fn steps_that_do_not_help_are_shortened() {
    for (step_max, most, far) in [(8.0, 8.0, 12.0), (40.0, 1e3, 10.0)] {
        let mut bounds = wide(1);
        bounds.step_max[0] = step_max;
        let mut best = (f64::INFINITY, 3.0);
        let arc = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
            let off: f64 = at[0] - best.1;
            assert!(off.abs() < most + 1e-9 && at[0].abs() < far, "{at}");
            if at[0].atan().abs() < best.0 {
                best = (at[0].atan().abs(), at[0]);
            }
            Ok(DVector::from_vec(vec![at[0].atan()]))
        };
        let start = DVector::from_vec(vec![3.0]);
        let found = solve_newton(arc, start, None, &bounds, OPTIONS).unwrap();
        assert!(found.unknowns[0].abs() < 1e-9, "{}", found.unknowns);
    }
}

/// Not even for a difference, wherever the search starts.
#[test]
fn nothing_is_tried_outside_the_bounds() {
    let bounds = Bounds {
        lower: DVector::from_vec(vec![1.0, 0.5]),
        upper: DVector::from_vec(vec![2.0, 2.0]),
        step_max: DVector::from_element(2, 10.0),
        difference: DVector::from_element(2, 1e-3),
    };
    for start in [[1.0, 0.5], [2.0, 2.0], [1.9995, 1.9995], [9.0, 9.0]] {
        let inside = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
            let within = |k: usize| at[k] >= bounds.lower[k] && at[k] <= bounds.upper[k];
            assert!(within(0) && within(1), "{at}");
            circle(at)
        };
        let start = DVector::from_vec(start.to_vec());
        let found = solve_newton(inside, start, None, &bounds, OPTIONS).unwrap();
        assert!((found.unknowns[0] - 2f64.sqrt()).abs() < 1e-9);
    }
}

/// Once at a bound is no end: the first step over a parabola from its foot is far too
/// long. Nor is a root near a bound that takes several steps.
#[test]
fn a_bound_that_holds_once_does_not_end_the_search() {
    let mut bounds = wide(1);
    bounds.upper[0] = 3.0;
    let parabola = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
        Ok(DVector::from_vec(vec![at[0] * at[0] - 4.0]))
    };
    let found =
        solve_newton(parabola, DVector::from_vec(vec![0.5]), None, &bounds, OPTIONS).unwrap();
    assert!((found.unknowns[0] - 2.0).abs() < 1e-9);
    (bounds.upper[0], bounds.step_max[0]) = (2.0, 0.5);
    let line = |at: &DVector<f64>| -> Result<DVector<f64>, Never> {
        Ok(DVector::from_vec(vec![at[0] - 1.9]))
    };
    let found = solve_newton(line, DVector::from_vec(vec![0.0]), None, &bounds, OPTIONS).unwrap();
    assert!((found.unknowns[0] - 1.9).abs() < 1e-9);
}
