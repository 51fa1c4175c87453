% Each part once, from the sums of what it holds: what a language with sums in recursion can say.
inputs([holds,single]).
outputs([rollup/5,unsealed/1]).
:- table sum_of/2.
:- dynamic rollup/5, unsealed/1.
sum_of(P, s(W,W,W,1,S)) :- single(P,K,W), ( K == seal -> S = 1 ; S = 0 ).
sum_of(P, Sum) :-
  findall(One, (holds(P,C), sum_of(C,One)), [First|More]), foldl(join, More, First, Sum).
join(s(T1,L1,H1,N1,S1), s(T0,L0,H0,N0,S0), s(T,L,H,N,S)) :-
  T is T0+T1, L is min(L0,L1), H is max(H0,H1), N is N0+N1, S is S0+S1.
evaluate :-
  setof(P, C^holds(P,C), Ps),
  forall(member(P,Ps), ( sum_of(P, s(T,L,H,N,S)), assertz(rollup(P,T,L,H,N)),
                         ( S =:= 0 -> assertz(unsealed(P)) ; true ) )).
