CREATE TABLE placed AS
  SELECT q, h, s, p, k, y - w AS x, y FROM (
    SELECT i.question AS q, u.shaft AS h, i.slot AS s, i.part AS p, t.kind AS k, t.width AS w,
           u.start + SUM(t.width) OVER (PARTITION BY i.question ORDER BY i.slot) AS y
    FROM (SELECT question, unit, slot, part FROM asked WHERE slot <> 0
          UNION ALL SELECT a.question, a.unit, l.slot, l.part FROM asked a CROSS JOIN slot l ON l.unit=a.unit
                    WHERE l.slot <> a.slot) i
         CROSS JOIN part t ON t.part=i.part CROSS JOIN unit u ON u.unit=i.unit);
CREATE TABLE leak AS
  SELECT q, s, f, g, e - b AS o FROM (
    SELECT l.q AS q, l.s AS s, i.feature AS f, h.feature AS g,
           MAX(l.x + i.start, h.start) AS b, MIN(l.x + i."end", h."end") AS e
    FROM placed l CROSS JOIN feature i ON i.part=l.p AND i.kind='seal' CROSS JOIN feature h ON h.part=l.h
    WHERE h.kind IN (SELECT kind FROM hazard))
  WHERE e > b;
CREATE TABLE misfit AS
  SELECT l.q AS q, l.s AS s, h.feature AS g, b.diameter - h.diameter AS c
  FROM placed l CROSS JOIN bore b ON b.part=l.p CROSS JOIN limits m ON m.kind=l.k
       CROSS JOIN feature h ON h.part=l.h AND h.kind='land'
  WHERE l.x < h."end" AND h.start < l.y
    AND (b.diameter - h.diameter < m.least OR b.diameter - h.diameter > m.greatest);
CREATE TABLE fits AS SELECT question FROM asked
  WHERE question NOT IN (SELECT q FROM leak UNION SELECT q FROM misfit);
