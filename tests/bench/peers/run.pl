% swipl run.pl -- PROGRAM count|rows, in the folder of the facts: loads, evaluates, and counts or writes.
:- set_prolog_flag(table_space, 12000000000).
:- set_prolog_flag(stack_limit, 8000000000).
:- initialization(main, main).
main([Program, Mode]) :-
  statistics(cputime, T0), consult(Program),
  inputs(Is), forall(member(I,Is), ( atom_concat(I,'.pl',F), load_files(F,[silent(true)]) )),
  statistics(cputime, T1), evaluate, statistics(cputime, T2),
  outputs(Os), forall(member(O,Os), give(Mode,O)),
  Load is T1-T0, Evaluate is T2-T1,
  format(user_error, '{"load": ~4f, "evaluate": ~4f}~n', [Load,Evaluate]).
give(count, Name/Arity) :-
  functor(T,Name,Arity), aggregate_all(count,T,N), format("~w\t~d~n",[Name,N]).
give(rows, Name/Arity) :-
  functor(T,Name,Arity), T =.. [_|Cells],
  forall(T, ( atomic_list_concat(Cells,'\t',Line), format("~w\t~w~n",[Name,Line]) )).
