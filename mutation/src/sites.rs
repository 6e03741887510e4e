//! Where a source file can be got wrong: its terms, products, minus signs,
//! conditions, rotations and vectors.

use syn::spanned::Spanned;
use syn::visit::{self, Visit};
use syn::{BinOp, Expr};

/// How a value is got wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// The sign wrong, or a condition or a rotation the wrong way round.
    Negated,
    /// Wrong by a factor of two; a whole number by one.
    Doubled,
    /// Forward and down of a vector taken for each other.
    Turned,
}

/// A place that can be got wrong.
#[derive(Debug, Clone)]
pub struct Site {
    /// File, from the core's source folder.
    pub file: String,
    /// Bytes from the beginning of the file to the first of the expression.
    pub start: usize,
    /// And to the one behind its last.
    pub end: usize,
    /// Line, from 1.
    pub line: usize,
    /// The expression, on one line.
    pub text: String,
    /// The ways.
    pub kinds: &'static [Kind],
}

const VALUE: &[Kind] = &[Kind::Negated, Kind::Doubled];
const CONDITION: &[Kind] = &[Kind::Negated];
const VECTOR: &[Kind] = &[Kind::Negated, Kind::Turned];
const PLACED: &[Kind] = &[Kind::Turned];

/// Finds the sites of one file.
///
/// # Errors
/// A text that is not Rust.
pub fn find(file: &str, text: &str) -> syn::Result<Vec<Site>> {
    let tree = syn::parse_file(text)?;
    let mut finder = Finder { file, text, sites: Vec::new() };
    finder.visit_file(&tree);
    Ok(finder.sites)
}

struct Finder<'a> {
    file: &'a str,
    text: &'a str,
    sites: Vec<Site>,
}

impl Finder<'_> {
    fn add(&mut self, expression: &Expr, kinds: &'static [Kind]) {
        if holds_binding(expression) {
            return;
        }
        let range = expression.span().byte_range();
        // An operand that is a product is met as both.
        if self.sites.iter().any(|site| site.start == range.start && site.end == range.end) {
            return;
        }
        let line = expression.span().start().line;
        let file = self.file.to_owned();
        let words: Vec<&str> = self.text[range.clone()].split_whitespace().collect();
        let text = words.join(" ");
        self.sites.push(Site { file, start: range.start, end: range.end, line, text, kinds });
    }
}

/// Whether a condition binds names, as `if let` does: it cannot stand in a call.
fn holds_binding(expression: &Expr) -> bool {
    match expression {
        Expr::Let(_) => true,
        Expr::Binary(binary) => holds_binding(&binary.left) || holds_binding(&binary.right),
        _ => false,
    }
}

fn is_test(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|attribute| {
        attribute.path().is_ident("test")
            || attribute.path().is_ident("cfg")
                && attribute.parse_args::<syn::Ident>().is_ok_and(|word| word == "test")
    })
}

impl<'ast> Visit<'ast> for Finder<'_> {
    fn visit_item_mod(&mut self, module: &'ast syn::ItemMod) {
        if !is_test(&module.attrs) {
            visit::visit_item_mod(self, module);
        }
    }

    fn visit_item_fn(&mut self, function: &'ast syn::ItemFn) {
        if !is_test(&function.attrs) && function.sig.constness.is_none() {
            visit::visit_item_fn(self, function);
        }
    }

    fn visit_impl_item_fn(&mut self, function: &'ast syn::ImplItemFn) {
        if function.sig.constness.is_none() {
            visit::visit_impl_item_fn(self, function);
        }
    }

    fn visit_item_impl(&mut self, block: &'ast syn::ItemImpl) {
        let of = block.trait_.as_ref().and_then(|(_, path, _)| path.segments.last());
        if of.is_none_or(|name| name.ident != "Display") {
            visit::visit_item_impl(self, block);
        }
    }

    // What the compiler works out beforehand cannot be switched.
    fn visit_item_const(&mut self, _: &'ast syn::ItemConst) {}
    fn visit_item_static(&mut self, _: &'ast syn::ItemStatic) {}
    fn visit_impl_item_const(&mut self, _: &'ast syn::ImplItemConst) {}
    fn visit_trait_item_const(&mut self, _: &'ast syn::TraitItemConst) {}
    fn visit_expr_const(&mut self, _: &'ast syn::ExprConst) {}
    fn visit_item_enum(&mut self, _: &'ast syn::ItemEnum) {}
    fn visit_type(&mut self, _: &'ast syn::Type) {}
    fn visit_generic_argument(&mut self, _: &'ast syn::GenericArgument) {}
    fn visit_attribute(&mut self, _: &'ast syn::Attribute) {}
    fn visit_pat(&mut self, _: &'ast syn::Pat) {}

    fn visit_expr_repeat(&mut self, repeat: &'ast syn::ExprRepeat) {
        self.visit_expr(&repeat.expr);
    }

    // A wrong index is a crash, not wrong physics.
    fn visit_expr_index(&mut self, index: &'ast syn::ExprIndex) {
        self.visit_expr(&index.expr);
    }

    fn visit_expr_binary(&mut self, binary: &'ast syn::ExprBinary) {
        let whole = Expr::Binary(binary.clone());
        match binary.op {
            BinOp::Add(_) | BinOp::Sub(_) => {
                self.add(&binary.left, VALUE);
                self.add(&binary.right, VALUE);
            }
            BinOp::Mul(_) | BinOp::Div(_) => self.add(&whole, VALUE),
            BinOp::AddAssign(_)
            | BinOp::SubAssign(_)
            | BinOp::MulAssign(_)
            | BinOp::DivAssign(_) => self.add(&binary.right, VALUE),
            BinOp::Lt(_)
            | BinOp::Le(_)
            | BinOp::Gt(_)
            | BinOp::Ge(_)
            | BinOp::Eq(_)
            | BinOp::Ne(_)
            | BinOp::And(_)
            | BinOp::Or(_) => self.add(&whole, CONDITION),
            _ => {}
        }
        visit::visit_expr_binary(self, binary);
    }

    fn visit_expr_unary(&mut self, unary: &'ast syn::ExprUnary) {
        if matches!(unary.op, syn::UnOp::Neg(_) | syn::UnOp::Not(_)) {
            self.add(&Expr::Unary(unary.clone()), CONDITION);
        }
        visit::visit_expr_unary(self, unary);
    }

    fn visit_expr_method_call(&mut self, call: &'ast syn::ExprMethodCall) {
        let whole = || Expr::MethodCall(call.clone());
        match call.method.to_string().as_str() {
            "cross" | "transform_vector" | "inverse_transform_vector" | "component_mul" => {
                self.add(&whole(), VECTOR);
            }
            "dot" | "sin" | "tan" | "asin" | "atan" | "atan2" | "abs" | "transpose" => {
                self.add(&whole(), CONDITION);
            }
            "cos" | "sqrt" | "powi" | "hypot" | "norm" | "min" | "max" | "exp" | "ln" | "sum" => {
                self.add(&whole(), VALUE);
            }
            _ => {}
        }
        visit::visit_expr_method_call(self, call);
    }

    fn visit_expr_call(&mut self, call: &'ast syn::ExprCall) {
        if let Expr::Path(path) = &*call.func {
            let name: Vec<String> =
                path.path.segments.iter().map(|part| part.ident.to_string()).collect();
            let whole = || Expr::Call(call.clone());
            match name.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
                ["Vector3", "new"] => self.add(&whole(), PLACED),
                [.., "from_axis_angle" | "from_euler_angles" | "from_scaled_axis"]
                | [.., "body_from_wind" | "body_from_stability"] => self.add(&whole(), CONDITION),
                _ => {}
            }
        }
        visit::visit_expr_call(self, call);
    }
}
