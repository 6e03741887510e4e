//! An arranged module does what it did.

use wasm_encoder::{
    ElementSection, Elements, ExportKind, RefType, TableSection, TableType, TypeSection,
};

use super::*;

/// Local variables and instructions.
type Body<'a> = (&'a [(u32, wasm_encoder::ValType)], &'a [Instruction<'a>]);
type Exported = (&'static str, u32);

/// A module that imports one function and has `bodies`, all without
/// parameters and result, the last of them in a table.
fn module(bodies: &[Body<'_>], exports: &[Exported]) -> Vec<u8> {
    let (mut types, mut imports) = (TypeSection::new(), ImportSection::new());
    types.ty().function([], []);
    imports.import("page", "say", wasm_encoder::EntityType::Function(0));
    let (mut functions, mut code) = (FunctionSection::new(), CodeSection::new());
    for (locals, instructions) in bodies {
        functions.function(0);
        let mut function = Function::new(locals.iter().copied());
        for instruction in *instructions {
            function.instruction(instruction);
        }
        code.function(function.instruction(&Instruction::End));
    }
    let mut tables = TableSection::new();
    let table = TableType {
        element_type: RefType::FUNCREF,
        table64: false,
        minimum: 1,
        maximum: None,
        shared: false,
    };
    tables.table(table);
    let mut elements = ElementSection::new();
    let last = [bodies.len() as u32];
    elements.active(
        None,
        &wasm_encoder::ConstExpr::i32_const(0),
        Elements::Functions(last[..].into()),
    );
    let mut exported = ExportSection::new();
    for (name, function) in exports {
        exported.export(name, ExportKind::Func, *function);
    }
    let mut module = wasm_encoder::Module::new();
    module.section(&types).section(&imports).section(&functions).section(&tables);
    module.section(&exported).section(&elements).section(&code);
    module.finish()
}

/// What each exported function does, and the one in the table, calls followed.
fn behaviour(wasm: &[u8]) -> Vec<(String, Vec<String>)> {
    let module = Module::read(wasm).unwrap();
    let mut found = Vec::new();
    for payload in Parser::new(0).parse_all(wasm) {
        match payload.unwrap() {
            Payload::ExportSection(section) => {
                for export in section {
                    let export = export.unwrap();
                    found.push((export.name.to_owned(), steps(&module, export.index)));
                }
            }
            Payload::ElementSection(section) => {
                let element = section.into_iter().next().unwrap().unwrap();
                let wasmparser::ElementItems::Functions(functions) = element.items else {
                    panic!("functions were written")
                };
                for function in functions {
                    found.push(("table".to_owned(), steps(&module, function.unwrap())));
                }
            }
            _ => {}
        }
    }
    found
}

fn steps(module: &Module<'_>, function: u32) -> Vec<String> {
    let Some(place) = (function as usize).checked_sub(module.imported) else {
        return vec!["say".to_owned()];
    };
    let mut steps = Vec::new();
    for operator in module.functions[place].1.get_operators_reader().unwrap() {
        match operator.unwrap() {
            Operator::Call { function_index } => steps.extend(self::steps(module, function_index)),
            other => steps.push(format!("{other:?}")),
        }
    }
    steps
}

#[test]
fn equal_functions_are_merged_and_all_do_what_they_did() {
    let tell: &[_] = &[Instruction::I32Const(7), Instruction::Drop];
    let given = module(
        &[
            (&[], &[Instruction::Call(0), Instruction::Call(0)]),
            (&[], tell),
            (&[], tell),
            (&[], &[Instruction::Call(0), Instruction::Call(2)]),
            // Equal to the one before once those that they call are.
            (&[], &[Instruction::Call(0), Instruction::Call(3)]),
        ],
        &[("twice", 1), ("tell", 3), ("say", 0), ("both", 4)],
    );
    let arranged = arranged(&given, &HashMap::new()).unwrap();
    assert_eq!(Module::read(&arranged).unwrap().functions.len(), 3);
    assert_eq!(behaviour(&arranged), behaviour(&given));
}

#[test]
fn variables_are_named_by_their_use() {
    let with = |once: u32, often: u32| {
        [
            Instruction::I32Const(1),
            Instruction::LocalSet(once),
            Instruction::LocalGet(often),
            Instruction::LocalSet(often),
        ]
    };
    let (one, other) = (with(0, 3), with(3, 0));
    let between: &[_] = &[
        (1, wasm_encoder::ValType::I32),
        (2, wasm_encoder::ValType::F64),
        (1, wasm_encoder::ValType::I32),
    ];
    let given = module(&[(between, &one), (between, &other)], &[("one", 1), ("other", 2)]);
    let arranged = arranged(&given, &HashMap::new()).unwrap();
    let kept = Module::read(&arranged).unwrap().functions;
    assert_eq!(kept.len(), 1, "both do the same");
    let groups: Vec<_> =
        kept[0].1.get_locals_reader().unwrap().into_iter().map(Result::unwrap).collect();
    assert_eq!(groups, [(2, ValType::I32)], "unused variables are left out");
}
