inputs([holds,single]).
outputs([rollup/5,unsealed/1]).
:- table under/2.
:- dynamic rollup/5, unsealed/1.
under(A,X) :- holds(A,X).
under(A,Y) :- under(A,X), holds(X,Y).
evaluate :-
  findall(A-w(W,K), (under(A,X), single(X,K,W)), Found), keysort(Found, Sorted),
  group_pairs_by_key(Sorted, Groups), forall(member(A-Ws, Groups), roll(A,Ws)).
roll(A,Ws) :-
  Ws = [w(First,_)|_], foldl(add, Ws, s(0,First,First,0), s(T,L,H,N)), assertz(rollup(A,T,L,H,N)),
  ( memberchk(w(_,seal), Ws) -> true ; assertz(unsealed(A)) ).
add(w(W,_), s(T0,L0,H0,N0), s(T,L,H,N)) :- T is T0+W, L is min(L0,W), H is max(H0,W), N is N0+1.
