inputs([parent]).
outputs([same/2]).
:- table same/2.
same(X,Y) :- parent(P,X), parent(P,Y), X \== Y.
same(X,Y) :- same(P,Q), parent(P,X), parent(Q,Y).
evaluate :- ( same(_,_), fail ; true ).
