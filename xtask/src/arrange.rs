//! Arranges the functions of the page's module so that it compresses better:
//! what is alike stands side by side, and what is the same is there once.
//!
//! A compressor finds repetitions, and the module is full of them: one generic
//! function after another, compiled for a type each. They come from the linker
//! in the order of their length. Nothing of what they do changes here, only
//! their order, their numbers and those of their local variables.

mod alike;
mod places;
#[cfg(test)]
mod tests;

use std::cmp::Reverse;
use std::collections::HashMap;
use std::collections::hash_map::Entry;
use std::convert::Infallible;

use anyhow::{Result, anyhow};
use wasm_encoder::reencode::{self, Reencode, utils};
use wasm_encoder::{
    CodeSection, ExportSection, Function, FunctionSection, ImportSection, Instruction, MemArg,
};
use wasmparser::{
    CodeSectionReader, Export, FunctionBody, FunctionSectionReader, Import, Imports, Operator,
    Parser, Payload, TypeRef, ValType, Validator,
};

type ReencodeError = reencode::Error<Infallible>;

/// The same module, arranged, and with `names` in place of those by which it and
/// its page know each other; checked, since a page that does not load is worse
/// than one that is large.
///
/// # Errors
/// Fails where the module is not understood.
pub fn arranged(wasm: &[u8], names: &HashMap<String, String>) -> Result<Vec<u8>> {
    let mut wasm = wasm.to_vec();
    places::blank(&mut wasm)?;
    let module = Module::read(&wasm)?;
    let mut arrangement = Arrangement::of(&module, names).map_err(|error| anyhow!("{error}"))?;
    let mut written = wasm_encoder::Module::new();
    arrangement
        .parse_core_module(&mut written, Parser::new(0), &wasm)
        .map_err(|error| anyhow!("{error}"))?;
    let written = written.finish();
    Validator::new().validate_all(&written)?;
    Ok(written)
}

/// What has to be known of a module to arrange it.
struct Module<'a> {
    /// Imported functions, whose numbers come before all others and stay.
    imported: usize,
    /// How many parameters a function of each type takes.
    parameters: Vec<u32>,
    /// Type and body of each function that the module has itself.
    functions: Vec<(u32, FunctionBody<'a>)>,
}

impl<'a> Module<'a> {
    fn read(wasm: &'a [u8]) -> Result<Self> {
        let (mut imported, mut parameters) = (0, Vec::new());
        let (mut types, mut bodies) = (Vec::new(), Vec::new());
        for payload in Parser::new(0).parse_all(wasm) {
            match payload? {
                Payload::TypeSection(section) => {
                    for function in section.into_iter_err_on_gc_types() {
                        parameters.push(u32::try_from(function?.params().len())?);
                    }
                }
                Payload::ImportSection(section) => {
                    for import in section.into_imports() {
                        imported += usize::from(matches!(import?.ty, TypeRef::Func(_)));
                    }
                }
                Payload::FunctionSection(section) => {
                    types = section.into_iter().collect::<Result<_, _>>()?;
                }
                Payload::CodeSectionEntry(body) => bodies.push(body),
                _ => {}
            }
        }
        Ok(Self { imported, parameters, functions: types.into_iter().zip(bodies).collect() })
    }

    /// The new number of each function: the imported ones, then `own`.
    fn numbers(&self, own: impl Iterator<Item = usize>) -> Vec<u32> {
        let all = (0..self.imported).chain(own.map(|place| self.imported + place));
        all.map(|number| number as u32).collect()
    }
}

/// The new order, and the numbers that follow from it.
struct Arrangement<'m, 'a> {
    module: &'m Module<'a>,
    /// The new names of what is imported and exported, where they have one.
    names: &'m HashMap<String, String>,
    /// The functions that stay, in their new order.
    order: Vec<usize>,
    /// The new number of each old function.
    functions: Vec<u32>,
    /// The new number of each local variable of the function being written.
    locals: Vec<u32>,
}

impl<'m, 'a> Arrangement<'m, 'a> {
    fn of(
        module: &'m Module<'a>,
        names: &'m HashMap<String, String>,
    ) -> Result<Self, ReencodeError> {
        let count = module.functions.len();
        let mut arrangement =
            Self { module, names, order: Vec::new(), functions: Vec::new(), locals: Vec::new() };
        let same_as = arrangement.merge_equals()?;

        // Alike are those that differ in what they call.
        arrangement.functions = vec![0; module.imported + count];
        let kept: Vec<_> = (0..count).filter(|&place| same_as[place] == place).collect();
        let mut keys = Vec::with_capacity(kept.len());
        for &place in &kept {
            keys.push(arrangement.body(place)?.into_raw_body());
        }
        let order: Vec<_> = alike::in_a_row(&keys).into_iter().map(|key| kept[key]).collect();

        let mut places = vec![0; count];
        for (new, &old) in order.iter().enumerate() {
            places[old] = new;
        }
        arrangement.functions = module.numbers(same_as.iter().map(|&same| places[same]));
        arrangement.order = order;
        Ok(arrangement)
    }

    /// For each function the first that is the same: of equal type, and equal to
    /// the last byte once those it calls are known to be the same.
    fn merge_equals(&mut self) -> Result<Vec<usize>, ReencodeError> {
        let mut same_as: Vec<_> = (0..self.module.functions.len()).collect();
        loop {
            self.functions = self.module.numbers(same_as.iter().copied());
            let mut firsts = HashMap::new();
            let mut found_more = false;
            let kept: Vec<_> = (0..same_as.len()).filter(|&at| same_as[at] == at).collect();
            for place in kept {
                let what = (self.module.functions[place].0, self.body(place)?.into_raw_body());
                match firsts.entry(what) {
                    Entry::Vacant(entry) => {
                        entry.insert(place);
                    }
                    Entry::Occupied(first) => {
                        same_as[place] = *first.get();
                        found_more = true;
                    }
                }
            }
            // The first of an earlier round may itself have found its first now.
            same_as = same_as.iter().map(|&first| same_as[first]).collect();
            if !found_more {
                return Ok(same_as);
            }
        }
    }

    /// A function as it will be written.
    fn body(&mut self, place: usize) -> Result<Function, ReencodeError> {
        let (kind, body) = &self.module.functions[place];
        let declared = self.number_locals(self.module.parameters[*kind as usize], body)?;
        let mut function = Function::new(declared);
        let mut operators = body.get_operators_reader()?;
        while !operators.eof() {
            function.instruction(&self.parse_instruction(&mut operators)?);
        }
        Ok(function)
    }

    /// Numbers the local variables of each type by how often they are used, so
    /// that functions which do the same name them alike. Returns how they are
    /// declared then. The parameters keep their numbers.
    fn number_locals(
        &mut self,
        parameters: u32,
        body: &FunctionBody<'_>,
    ) -> Result<Vec<(u32, wasm_encoder::ValType)>, ReencodeError> {
        let mut types = Vec::new();
        for group in body.get_locals_reader()? {
            let (count, kind) = group?;
            types.extend(std::iter::repeat_n(kind, count as usize));
        }
        // How often each is used, and when first.
        let mut uses = vec![(0_u32, 0_usize); types.len()];
        for (moment, operator) in body.get_operators_reader()?.into_iter().enumerate() {
            let Some(local) = local_of(&operator?).and_then(|local| local.checked_sub(parameters))
            else {
                continue;
            };
            let (count, first) = &mut uses[local as usize];
            if *count == 0 {
                *first = moment;
            }
            *count += 1;
        }
        let mut order: Vec<_> = (0..types.len()).filter(|&local| uses[local].0 > 0).collect();
        order.sort_by_key(|&local| (rank(types[local]), Reverse(uses[local].0), uses[local].1));

        self.locals = (0..parameters).collect();
        self.locals.resize(parameters as usize + types.len(), 0);
        let mut declared: Vec<(u32, wasm_encoder::ValType)> = Vec::new();
        for (new, &old) in (parameters..).zip(&order) {
            self.locals[parameters as usize + old] = new;
            let kind = self.val_type(types[old])?;
            match declared.last_mut() {
                Some((count, last)) if *last == kind => *count += 1,
                _ => declared.push((1, kind)),
            }
        }
        Ok(declared)
    }
}

impl Reencode for Arrangement<'_, '_> {
    type Error = Infallible;

    fn function_index(&mut self, function: u32) -> Result<u32, ReencodeError> {
        Ok(self.functions[function as usize])
    }

    fn instruction<'b>(
        &mut self,
        operator: Operator<'b>,
    ) -> Result<Instruction<'b>, ReencodeError> {
        Ok(match operator {
            Operator::LocalGet { local_index } => {
                Instruction::LocalGet(self.locals[local_index as usize])
            }
            Operator::LocalSet { local_index } => {
                Instruction::LocalSet(self.locals[local_index as usize])
            }
            Operator::LocalTee { local_index } => {
                Instruction::LocalTee(self.locals[local_index as usize])
            }
            other => utils::instruction(self, other)?,
        })
    }

    /// Promises nothing of where in memory a value lies. The promise, a hint that
    /// no engine which can run this module heeds, would be one of up to five
    /// bytes behind each load and store; so it is always the same one.
    fn mem_arg(&mut self, place: wasmparser::MemArg) -> Result<MemArg, ReencodeError> {
        Ok(MemArg { align: 0, ..utils::mem_arg(self, place)? })
    }

    fn parse_imports(
        &mut self,
        written: &mut ImportSection,
        imports: Imports<'_>,
    ) -> Result<(), ReencodeError> {
        let names = self.names;
        let renamed = match imports {
            Imports::Single(at, import) => {
                let name = names.get(import.name).map_or(import.name, String::as_str);
                Imports::Single(at, Import { name, ..import })
            }
            // Shorter forms of a proposal that compilers do not write yet.
            other => other,
        };
        utils::parse_imports(self, written, renamed)
    }

    fn parse_export(
        &mut self,
        written: &mut ExportSection,
        export: Export<'_>,
    ) -> Result<(), ReencodeError> {
        let names = self.names;
        let name = names.get(export.name).map_or(export.name, String::as_str);
        utils::parse_export(self, written, Export { name, ..export })
    }

    /// Left out: what compilers note about themselves.
    fn parse_custom_section(
        &mut self,
        _: &mut wasm_encoder::Module,
        _: wasmparser::CustomSectionReader<'_>,
    ) -> Result<(), ReencodeError> {
        Ok(())
    }

    fn parse_function_section(
        &mut self,
        written: &mut FunctionSection,
        _: FunctionSectionReader<'_>,
    ) -> Result<(), ReencodeError> {
        for &place in &self.order {
            written.function(self.module.functions[place].0);
        }
        Ok(())
    }

    fn parse_code_section(
        &mut self,
        written: &mut CodeSection,
        _: CodeSectionReader<'_>,
    ) -> Result<(), ReencodeError> {
        for place in self.order.clone() {
            written.function(&self.body(place)?);
        }
        Ok(())
    }
}

/// The local variable that an instruction reads or writes.
fn local_of(operator: &Operator<'_>) -> Option<u32> {
    match *operator {
        Operator::LocalGet { local_index }
        | Operator::LocalSet { local_index }
        | Operator::LocalTee { local_index } => Some(local_index),
        _ => None,
    }
}

/// Where variables of a type stand among the others: all of a type together
/// take the fewest declarations.
fn rank(kind: ValType) -> u8 {
    match kind {
        ValType::I32 => 0,
        ValType::I64 => 1,
        ValType::F32 => 2,
        ValType::F64 => 3,
        ValType::V128 => 4,
        ValType::Ref(_) => 5,
    }
}
