inputs([edge]).
outputs([reach/2]).
:- table reach/2.
reach(X,Y) :- edge(X,Y).
reach(X,Z) :- reach(X,Y), edge(Y,Z).
evaluate :- ( reach(_,_), fail ; true ).
