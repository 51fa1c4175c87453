% Answers the questions of a file, one after the other, over facts that are loaded already (a saved state).
:- [part,bore,feature,unit,slot,follows,limits,hazard].
answer_file(File) :-
  setup_call_cleanup(open(File,read,In), read_string(In,_,Text), close(In)),
  split_string(Text, "\n", "", [_|Lines]), statistics(cputime, T0),
  forall(( member(Line,Lines), Line \== "" ), answer(Line)), statistics(cputime, T1), Evaluate is T1-T0,
  format(user_error, '{"load": ~4f, "evaluate": ~4f}~n', [T0,Evaluate]).
answer(Line) :-
  split_string(Line, ",", "", Texts), maplist([T,N]>>number_string(N,T), Texts, [Q,A,S,P]),
  faults_of(A,S,P,Fs), forall(member(F,Fs), say(Q,F)), ( Fs == [] -> format("fits\t~w~n",[Q]) ; true ).
say(Q,F) :- F =.. [Name|Cells], atomic_list_concat([Name,Q|Cells],'\t',Line), format("~w~n",[Line]).
main :- current_prolog_flag(argv,[File|_]), answer_file(File).
