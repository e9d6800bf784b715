/** Numbers of the bends that are void now. */
export const VOIDED = `
  SELECT bend_id FROM act_log WHERE kind = 'void' AND id IN
    (SELECT max(id) FROM act_log WHERE kind IN ('void', 'reinstated') GROUP BY bend_id)`
